"""The book's charts are begun as soon as there is what they tell of, each once, and none it does not show."""

import json
from collections.abc import Callable
from concurrent.futures import Future
from dataclasses import replace
from typing import TypeVar, cast

import pytest
from faces.invented import without

from topwire.book.ahead import ChartsAhead
from topwire.book.contents import contents
from topwire.engine.beside import InTurn
from topwire.engine.orchard import Orchard, StepRun
from topwire.show.chart_style import Chart

T = TypeVar("T")


class AtOnce(InTurn):
    """In place of a process: “draws” a chart at once, and counts."""

    def __init__(self) -> None:
        self.drawn: list[str] = []

    def make_ready(self, work: Callable[[], None]) -> None:
        """It is."""

    def begin(self, work: Callable[..., T], *given: object) -> Future[T]:
        done: Future[T] = Future()
        (spec,) = given
        assert isinstance(spec, dict)
        done.set_result(cast(T, json.dumps(spec)))
        self.drawn.append(str(spec["description"]))
        return done


@pytest.fixture
def beside() -> AtOnce:
    return AtOnce()


def at_work(orchard: Orchard, *absent: str) -> Orchard:
    return replace(without(orchard, *absent), steps=(StepRun("place", "", 1.0),))


def test_every_chart_is_begun_when_its_figures_are_there_and_once(orchard: Orchard, beside: AtOnce) -> None:
    charts, drawn = ChartsAhead(beside), beside.drawn
    charts.begin(at_work(orchard, "nursery", "trellis", "water", "ledger"))
    assert not drawn, "until then every core has its work"
    charts.begin(at_work(orchard, "trellis", "water", "ledger"))
    early = len(drawn)
    assert early
    charts.begin(at_work(orchard))
    assert len(drawn) > early
    begun = list(drawn)
    wanted = [one.spec for one in contents(orchard).drawings.values() if isinstance(one, Chart)]
    assert charts.svgs(wanted) == [json.dumps(spec) for spec in wanted]
    assert drawn == begun
    assert len(drawn) == len(wanted)


def test_a_chart_whose_figures_came_last_is_drawn_when_it_is_wanted(orchard: Orchard, beside: AtOnce) -> None:
    charts, drawn = ChartsAhead(beside), beside.drawn
    charts.begin(at_work(orchard))
    begun = len(drawn)
    assert charts.svgs([{"description": "new"}]) == ['{"description": "new"}']
    assert drawn[begun:] == ["new"]


def test_nothing_is_begun_for_a_plan_that_stands(orchard: Orchard, beside: AtOnce) -> None:
    ChartsAhead(beside).begin(replace(orchard, steps=(StepRun("place", "", None),)))
    assert not beside.drawn
