"""A newcomer's whole way after the first plan, in a real Chromium: a need is changed and worked out, another is tried,
kept, made the plan and taken back, the book is printed, a phone is let in and notes what the desk then sees.
"""

import re
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect, sync_playwright
from web.desk import Served
from web.rows import RULES, PhoneServed, a_phone, kept

from topwire.plan.read import parse_plan
from topwire.records.entries import FruitPicked, TreeChanged, TreeEvent
from topwire.web.phone.desk_pages import PhoneDoor

CHROMIUM = Path("/usr/bin/chromium")
A_RUN = 120_000  # the longest a small orchard is worked out in on a busy machine [ms]


@contextmanager
def at_work(planned: Path, folder: Path) -> Iterator[tuple[Served, PhoneServed]]:
    shutil.copytree(planned, folder)
    with (
        PhoneServed(folder) as rows,
        Served(folder, phones=[PhoneDoor(rows.address, rows.phones)]) as desk,
    ):
        yield desk, rows


def worked_out(page: Page) -> None:
    page.get_by_role("link", name="Look at it", exact=True).click(timeout=A_RUN)


def test_from_a_changed_need_to_a_note_on_the_map(planned: Path, tmp_path: Path) -> None:
    with at_work(planned, tmp_path / "yard") as (desk, rows), sync_playwright() as play:
        chromium = play.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox", RULES])
        page = chromium.new_page(viewport={"width": 1280, "height": 900})
        page.set_default_timeout(15_000)
        page.on("pageerror", lambda error: pytest.fail(f"{page.url}: {error}"))
        plan = tmp_path / "yard/plan.yaml"

        # a need is changed by form, and the answer is seen
        page.goto(f"http://{desk.host}/")
        before = page.locator("dl.job").inner_text()
        page.get_by_role("link", name="Settings").click()
        page.get_by_role("link", name="Kitchen").click()
        page.get_by_label("amount").first.fill("4 kg/week")
        page.get_by_role("button", name="Save in plan.yaml").click()
        expect(page.get_by_text("Saved in plan.yaml")).to_be_visible()
        page.get_by_role("button", name="Work it out anew").click()
        worked_out(page)
        assert page.locator("dl.job").inner_text() != before
        expect(page.get_by_text("Something has changed")).to_be_hidden()
        text = plan.read_text(encoding="utf-8")

        # another is tried beside it, kept under a name, made the plan, and taken back
        page.get_by_role("link", name="Trials").click()
        page.get_by_label("pie: amount").fill("35 kg/season")
        page.get_by_label("Keep it as").fill("More pie")
        page.get_by_role("button", name="Try it").click()
        worked_out(page)
        trial = page.locator("article.trial")
        expect(trial).to_contain_text("pie: amount 35 kg/season")
        assert plan.read_text(encoding="utf-8") == text
        trial.get_by_role("button", name="Make it the plan").click()
        worked_out(page)
        assert parse_plan(plan.read_text(encoding="utf-8")).kitchen.needs[1].amount.kilograms == 35  # type: ignore[union-attr]
        page.get_by_role("link", name="Settings").click()
        page.get_by_role("button", name="Take back").click()
        assert plan.read_text(encoding="utf-8") == text
        expect(page.get_by_role("button", name="Work it out anew")).to_be_visible()

        # the book, to print
        page.get_by_role("link", name="Small yard").click()
        with page.expect_download() as coming:
            page.get_by_role("link", name="The book, to print").click()
        assert Path(coming.value.path()).read_bytes().startswith(b"%PDF")
        assert coming.value.suggested_filename.endswith(".pdf")

        # a phone is let in by what the desk shows and types
        page.get_by_role("link", name="Phones").click()
        page.get_by_role("button", name="Show a code for a phone").click()
        code = page.locator("img.code").get_attribute("alt")
        assert code
        assert rows.address in code
        with a_phone(chromium) as context:
            phone = context.new_page()
            phone.goto(f"{rows.address}#{rows.phones.code()}")
            digits = phone.locator(".digits").inner_text()
            page.get_by_label("The four digits").fill(digits)
            page.get_by_label("Whose phone").fill("Ana")
            page.get_by_role("button", name="Let it in").click()
            expect(page.get_by_text(re.compile("Ana, until"))).to_be_visible()

            # a dead tree and a pick
            phone.get_by_role("button", name="Note", exact=True).tap()
            phone.locator(".rows, .at").first.wait_for()
            if phone.locator(".rows").count():
                phone.locator(".rows button").first.tap()
            tree = phone.locator(".at strong").inner_text()
            if not phone.get_by_role("button", name="dead").count():
                phone.get_by_role("button", name="More to note").tap()
            phone.get_by_role("button", name="dead").tap()
            expect(phone.locator("#undo")).to_contain_text("Kept")
            phone.locator("#home").tap()
            phone.get_by_role("button", name=re.compile("^Pick")).tap()
            expect(phone.locator("#title")).to_contain_text("which cultivar")
            if phone.get_by_text("Another cultivar").count():
                phone.get_by_text("Another cultivar").tap()
            phone.locator("#screen .list button").last.tap()
            expect(phone.get_by_role("button", name="Keep")).to_be_visible()
            picked = phone.locator("#title").inner_text()
            phone.get_by_role("button", name="+1", exact=True).tap()
            phone.wait_for_timeout(750)  # a second press within 0.7 s is a glove's bounce
            phone.get_by_role("button", name="Keep").tap()
            expect(phone.locator("#undo")).to_contain_text(picked)
            expect(phone.locator("#bar")).to_contain_text("All notes sent")
        dead, pick = kept(tmp_path / "yard")
        assert isinstance(dead, TreeChanged)
        assert (dead.where, dead.event, dead.who) == (tree, TreeEvent.DIED, "Ana")
        assert isinstance(pick, FruitPicked)
        assert pick.cultivar == picked

        # the desk sees both: in the diary, and on the map
        page.get_by_role("link", name="Records").click()
        diary = page.locator(".diary")
        expect(diary).to_contain_text(tree)
        expect(diary).to_contain_text(picked)
        page.get_by_role("link", name="On the map").click()
        legend = page.locator("#map-legend")
        expect(legend).to_contain_text("died or removed (1)")
        expect(legend).to_contain_text("picked: its row or cultivar")
        chromium.close()
