"""From nothing to the first result of a plan of eight trees, as a person goes, by keyboard alone or touch alone.

Nothing is focused, filled or clicked by script: the keyboard goes on by Tab, the finger taps what it sees.
"""

import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect, sync_playwright
from web.desk import Served

from topwire.plan.read import parse_plan

FIVE_MINUTES = 300.0  # [s]
WEATHER = Path(__file__).parents[2] / "examples/garden-fence/weather"


class Keyboard:
    """Tab, letters, Enter, Space and arrows."""

    def __init__(self, page: Page) -> None:
        self._page = page

    def to(self, wanted: Locator) -> None:
        """By Tab from where one is; the page's end leads round to its beginning."""
        wanted.wait_for()
        for _ in range(150):
            if wanted.evaluate("one => one === document.activeElement"):
                seen = wanted.evaluate("one => one.matches(':focus-visible')")
                assert seen, "whoever goes by Tab sees where one is"
                return
            self._page.keyboard.press("Tab")
        raise AssertionError(f"Tab never comes to {wanted}")

    def write(self, field: Locator, text: str) -> None:
        self.to(field)
        self._page.keyboard.press("Control+A")
        self._page.keyboard.type(text)

    def press(self, button: Locator) -> None:
        self.to(button)
        self._page.keyboard.press("Enter")

    def pick(self, choice: Locator, says: str) -> None:
        self.to(choice)
        self._page.keyboard.type(says)


class Touch:
    """One finger, and the phone's own keys for letters."""

    def __init__(self, page: Page) -> None:
        self._page = page

    def write(self, field: Locator, text: str) -> None:
        field.tap()
        expect(field).to_be_focused()
        field.press("Control+A")
        self._page.keyboard.type(text)

    def press(self, button: Locator) -> None:
        box = button.bounding_box()
        assert box is not None
        assert box["height"] >= 24, "a target a finger meets (WCAG 2.2, 2.5.8)"
        button.tap()

    def pick(self, choice: Locator, says: str) -> None:
        choice.tap()
        choice.select_option(says)  # the phone's own wheel


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as play:
        found = play.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        yield found
        found.close()


@contextmanager
def opened(chromium: Browser, served: Served, *, touch: bool) -> Iterator[Page]:
    size = {"width": 390, "height": 780} if touch else {"width": 1100, "height": 800}
    context = chromium.new_context(viewport=size, has_touch=touch, is_mobile=touch)  # type: ignore[arg-type]
    page = context.new_page()
    page.set_default_timeout(20_000)
    page.goto(f"http://{served.host}/")
    yield page
    context.close()


@pytest.mark.parametrize("by", ["keyboard", "touch"])
def test_from_nothing_to_the_first_result_of_eight_trees(chromium: Browser, tmp_path: Path, by: str) -> None:
    folder = tmp_path / "garden"
    folder.mkdir()
    weather = sorted(WEATHER.glob("*.csv"))[0]
    began = time.monotonic()
    with Served(folder) as served, opened(chromium, served, touch=by == "touch") as page:
        hand = Touch(page) if by == "touch" else Keyboard(page)

        def button(name: str) -> Locator:
            return page.get_by_role("button", name=name, exact=True)

        for label, text in (
            ("The orchard’s name", "Eight"), ("Latitude", "39.18"), ("Longitude", "-78.16"), ("Height", "720 ft"),
        ):  # fmt: skip
            hand.write(page.get_by_label(label).first, text)
        with page.expect_file_chooser() as asked:
            hand.press(page.get_by_label("Or a file of daily"))
        asked.value.set_files(weather)
        hand.press(button("Take this file"))
        expect(page.get_by_label("The record to plan by")).to_be_visible()
        hand.press(button("Next: How much ground"))
        hand.write(page.get_by_label("Length along"), "40 ft")
        hand.write(page.get_by_label("Width across"), "14 ft")
        hand.press(button("Next: Who eats what"))
        hand.write(page.get_by_label("Guests in a week"), "12")
        hand.pick(page.get_by_label("baked apple"), "none")
        hand.press(button("Next: What you like"))
        hand.write(page.get_by_label("At most so many cultivars"), "4")
        hand.press(button("Work out a first plan"))
        # what is found comes as it is found: the place first, while the choice is still at work
        expect(page.locator("li.done").first).to_be_visible(timeout=150_000)
        took = time.monotonic() - began
        hand.press(button("Stop"))
        expect(page.get_by_text("Stopped.")).to_be_visible()
    made = parse_plan((folder / "plan.yaml").read_text(encoding="utf-8"))
    assert (made.name, made.taste.most_cultivars) == ("Eight", 4)
    assert [block.name for block in made.ground.blocks] == ["South"]
    assert took < FIVE_MINUTES
    print(f"by {by}: {took:.0f} s to the first result")
