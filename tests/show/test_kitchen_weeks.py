"""The kitchen's weeks: the parts and what is short make up what is wanted; every drawn cell says so."""

import re
from dataclasses import replace
from html import unescape

import numpy as np
import pytest
from faces import invented

from topwire.choice.answer import bringers
from topwire.show.kitchen_calendar import draw_calendar, draw_year, said
from topwire.show.kitchen_weeks import ORDER, kitchen_weeks, need_weeks, orchard_weeks
from topwire.tell.reader import Reader
from topwire.values.units import UnitSystem

US = Reader(UnitSystem.US)


def test_parts_and_what_is_short_make_up_what_is_wanted() -> None:
    choice = invented.orchard().choice
    assert choice is not None
    need = replace(choice.needs[0], off_tree=np.full(52, 20.0), brought_by=(("Gala", "GoldRush"),) * 52)
    lines = need_weeks(replace(choice, needs=(need, *choice.needs[1:])), US)
    assert len(lines) == sum(int((one.wanted > 0).sum()) for one in choice.needs)
    for line in lines:
        parts = line.off_tree, line.made, line.cellar, line.put_by, line.short
        assert sum(parts) == pytest.approx(line.wanted)
        assert min(parts) >= 0
    fresh = next(line for line in lines if line.number == 0)
    assert fresh.off_tree == 20.0
    assert "By Gala and GoldRush." in said(fresh, US)
    assert "lb wanted" in said(fresh, US)


def test_what_is_put_by_is_eaten_out_of_jars() -> None:
    choice = invented.orchard().choice
    assert choice is not None
    jars = replace(choice.needs[0], used_from=280.0, used_to=100.0)
    lines = need_weeks(replace(choice, needs=(jars,)), US)
    assert all(line.off_tree == line.cellar == 0 for line in lines)
    assert any(line.put_by > 0 for line in lines)


def test_what_is_made_once_is_short_by_the_season_not_by_the_week() -> None:
    choice = invented.orchard().choice
    assert choice is not None
    season = choice.needs[1]
    served = season.served.copy()
    served[:, 40:] = 0.0  # all of it pressed early: no week of the season lacks more than another
    lines = need_weeks(replace(choice, needs=(replace(season, served=served),)), US)
    shares = {round(line.short / line.wanted, 9) for line in lines}
    assert len(shares) == 1
    assert 0 < shares.pop() < 1
    assert all(line.off_tree == 0 < line.made for line in lines)  # nor is it on the tree in every one of them


def test_a_year_begins_with_the_first_pick_and_has_every_week_once() -> None:
    assert sorted(ORDER) == list(range(1, 53))
    assert ORDER[0] == 27
    weeks = orchard_weeks(invented.orchard())
    assert [one.week for one in weeks] == list(ORDER)
    assert any(one.bloom for one in weeks)
    assert any(one.pick for one in weeks)


def test_every_cell_says_what_the_sheet_holds() -> None:
    orchard = invented.orchard()
    assert orchard.choice is not None
    drawn = draw_calendar(orchard, US)
    titles = [unescape(one) for one in re.findall(r"<title>(.*?)</title>", drawn)]
    assert titles == [said(line, US) for line in need_weeks(orchard.choice, US)]
    assert len(titles) == len(kitchen_weeks(orchard.choice, US).rows)
    assert draw_year(orchard, US).count("<title>") > 60
    metric = draw_calendar(invented.orchard(units=UnitSystem.METRIC), Reader(UnitSystem.METRIC))
    assert "kg wanted" in metric
    assert "lb" not in re.sub("<[^>]+>", " ", metric)


def test_a_cultivars_name_cannot_run_in_a_drawing() -> None:
    orchard = invented.orchard()
    assert orchard.choice is not None
    evil = "<script>alert(1)</script>"
    needs = tuple(replace(one, brought_by=((evil,),) * 52) for one in orchard.choice.needs)
    drawn = draw_calendar(replace(orchard, choice=replace(orchard.choice, needs=needs)), US)
    assert "<script" not in drawn
    assert "&lt;script&gt;" in drawn


def test_bringers_come_most_first_without_crumbs() -> None:
    brought = np.zeros((3, 52))
    brought[:, 0] = [1.0, 5.0, 0.01]
    found = bringers(["a", "b", "c"], brought)
    assert found[0] == ("b", "a")
    assert found[1] == ()
