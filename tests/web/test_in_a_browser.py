"""The pages in a real Chromium: every page at two sizes and themes, by keyboard, by touch, with the back button, a
reload during a run, two windows that edit, and no serious fault found by axe-core.
"""

import json
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.base import AXE_FILE_PATH
from playwright.sync_api import Browser, BrowserContext, Dialog, Page, expect, sync_playwright
from web.desk import Served

from topwire.plan.read import parse_plan
from topwire.web.contents import PAGES

CHROMIUM = Path("/usr/bin/chromium")
pytestmark = pytest.mark.skipif(not CHROMIUM.exists(), reason="no system Chromium")
SIZES = {"desk": {"width": 1280, "height": 900}, "phone": {"width": 360, "height": 740}}
PATHS = ["/", *(f"/{page.name}" for page in PAGES), "/plan", "/plan/kitchen", "/plan/text", "/trials", "/run",
         "/sources", "/keys", "/tree", "/cultivar?name=GoldRush", "/sheet/trellis.posts", "/nosuch"]  # fmt: skip
# The pages are the same at both sizes: on the phone only what size and theme can change is asked again.
ASKED = {
    "desk": {"resultTypes": ["violations"]},
    "phone": {
        "resultTypes": ["violations"],
        "runOnly": {
            "type": "rule",
            "values": ["color-contrast", "scrollable-region-focusable", "meta-viewport"],
        },
    },
}
SERIOUS = ("serious", "critical")


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=str(CHROMIUM), args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def served(planned: Path) -> Iterator[Served]:
    with Served(planned) as found:
        yield found


@pytest.fixture
def context(chromium: Browser) -> Iterator[BrowserContext]:
    made = chromium.new_context(viewport=SIZES["desk"])
    yield made
    made.close()


@pytest.fixture
def page(context: BrowserContext) -> Page:
    found = context.new_page()
    found.set_default_timeout(20_000)
    return found


@pytest.fixture
def own(planned: Path, tmp_path: Path) -> Iterator[tuple[Served, Path]]:
    """The planned yard to change, served."""
    folder = tmp_path / "yard"
    shutil.copytree(planned, folder)
    with Served(folder) as served:
        yield served, folder


@pytest.mark.parametrize(("size", "theme"), [("desk", "light"), ("phone", "dark")])
def test_every_page_fits_says_no_error_and_has_no_serious_fault(
    chromium: Browser, served: Served, size: str, theme: str
) -> None:
    context = chromium.new_context(viewport=SIZES[size], color_scheme=theme)  # type: ignore[arg-type]
    page = context.new_page()
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(f"{page.url}: {error}"))
    page.on(
        "console",
        lambda said: (
            wrong.append(f"{page.url}: {said.text}")
            if said.type == "error" and "nosuch" not in page.url
            else None
        ),
    )
    for path in PATHS:
        page.goto(f"http://{served.host}{path}")
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        if wide > 0:
            wrong.append(f"{path}: {wide} px wider than the window")
        page.evaluate(AXE_FILE_PATH.read_text(encoding="utf-8"))
        found = page.evaluate("(asked) => axe.run(document, asked)", ASKED[size])
        wrong += [
            f"{path} {one['id']}: {one['help']} {json.dumps([node['target'] for node in one['nodes']][:3])}"
            for one in found["violations"]
            if one["impact"] in SERIOUS
        ]
    context.close()
    assert not wrong, "\n".join(wrong)


def test_the_map_is_walked_by_keyboard_and_by_touch(chromium: Browser, served: Served) -> None:
    context = chromium.new_context(viewport=SIZES["phone"], has_touch=True)
    page = context.new_page()
    page.goto(f"http://{served.host}/ground")
    canvas = page.locator("#canvas")
    expect(canvas).to_be_visible()
    page.locator("input[name=by][value=harvest]").check()
    expect(page.locator(".legend-title")).to_contain_text("First picking")
    canvas.focus()
    page.keyboard.press("PageDown")
    expect(page.locator(".tree-name")).to_contain_text("tree 1")
    first = page.locator(".tree-name").inner_text()
    page.keyboard.press("PageDown")
    expect(page.locator(".tree-name")).not_to_have_text(first)
    for key in ("+", "ArrowLeft", "-", "0"):
        page.keyboard.press(key)
    page.locator("#map-week").fill("36")
    expect(page.locator("#map-week-says")).to_contain_text("week 36")
    expect(page.locator("#map-legend")).to_contain_text("in bloom:")
    box = canvas.bounding_box()
    assert box
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    canvas.press("PageDown")
    canvas.press("Enter")
    expect(page.locator("h1")).to_contain_text("tree")
    page.go_back()
    expect(page.locator("#canvas")).to_be_visible()
    context.close()


def test_the_calendar_says_each_week_by_arrow_keys(page: Page, served: Served) -> None:
    page.goto(f"http://{served.host}/choice")
    page.locator(".cells.for-desk").focus()
    page.keyboard.press("ArrowRight")
    first = page.locator(".cell-says").inner_text()
    assert "wanted" in first
    page.keyboard.press("ArrowRight")
    expect(page.locator(".cell-says")).not_to_have_text(first)


def test_on_a_phone_the_calendar_fits_and_a_tap_names_the_week(chromium: Browser, served: Served) -> None:
    context = chromium.new_context(viewport=SIZES["phone"], has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(f"http://{served.host}/choice")
    drawn = page.locator(".cells.for-phone svg")
    expect(drawn).to_be_visible()
    expect(page.locator(".cells.for-desk")).to_be_hidden()
    box = drawn.bounding_box()
    assert box
    assert box["x"] + box["width"] <= SIZES["phone"]["width"]  # the whole year without a swipe
    page.locator(".cells.for-phone .cell").nth(5).tap()
    expect(page.locator(".cell-says")).to_contain_text("wanted")
    context.close()


def test_tables_fold_open_by_their_link_and_lie_open_on_paper(page: Page, served: Served) -> None:
    page.goto(f"http://{served.host}/place")
    table = page.locator("[id='place.months'] table")
    expect(table).to_be_hidden()
    page.locator("#picture-climate").get_by_role("link", name="As a table").click()
    expect(table).to_be_visible()
    page.goto(f"http://{served.host}/place")
    last = page.locator("details.fold table").last
    expect(last).to_be_hidden()
    page.emulate_media(media="print")
    expect(last).to_be_visible()


def test_the_rectangle_is_pulled_to_its_size_and_apples_are_pressed_into_a_list(
    page: Page, tmp_path: Path, planned: Path
) -> None:
    folder = tmp_path / "new"
    shutil.copytree(planned / "weather", folder / "weather")
    with Served(folder) as served:
        page.goto(f"http://{served.host}/begin/ground")
        box = page.locator(".corner").bounding_box()
        assert box
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 26, y + 26, steps=3)
        page.mouse.up()
        # 260 dots stand for 300 ft: a tenth more of each side that is 300 ft
        expect(page.get_by_label("Length along")).to_have_value("330 ft")
        expect(page.get_by_label("Width across")).to_have_value("180 ft")
        page.goto(f"http://{served.host}/begin/taste")
        page.get_by_text("The apples that are known").click()
        gold = page.get_by_role("button", name="GoldRush", exact=True)
        gold.click()
        expect(page.get_by_label("You would rather have").last).to_have_value("GoldRush")
        expect(gold).to_have_attribute("aria-pressed", "true")
        gold.click()
        expect(page.get_by_label("You would rather have").last).to_have_value("")


def test_units_and_theme_are_a_press_and_stay(page: Page, served: Served) -> None:
    page.goto(f"http://{served.host}/trellis")
    before = page.locator("main").inner_text()
    page.get_by_role("button", name=re.compile("in metric units|in US units")).click()
    assert page.url.endswith("/trellis")
    assert page.locator("main").inner_text() != before
    page.get_by_role("button", name="dark").click()
    assert page.locator("html").get_attribute("data-theme") == "dark"
    page.goto(f"http://{served.host}/water")
    assert page.locator("html").get_attribute("data-theme") == "dark"


def test_two_windows_that_edit_lose_nothing(context: BrowserContext, own: tuple[Served, Path]) -> None:
    served, folder = own
    one, other = context.new_page(), context.new_page()
    for page in (one, other):
        page.goto(f"http://{served.host}/plan/money")
    one.get_by_label("wage").fill("21")
    one.get_by_role("button", name="Save in plan.yaml").click()
    expect(one.get_by_text("Saved in plan.yaml")).to_be_visible()
    other.get_by_label("interest").fill("0.03")
    other.get_by_role("button", name="Save in plan.yaml").click()
    expect(other.get_by_role("heading", name="The plan has changed meanwhile")).to_be_visible()
    assert parse_plan((folder / "plan.yaml").read_text()).money.interest == 0.05
    other.get_by_role("button", name="Save mine over it").click()
    money = parse_plan((folder / "plan.yaml").read_text()).money
    assert (money.wage, money.interest) == (21, 0.03)
    one.goto(f"http://{served.host}/plan")
    one.get_by_role("button", name="Take back").click()
    assert parse_plan((folder / "plan.yaml").read_text()).money.interest == 0.05


def test_the_text_is_checked_while_it_is_written(page: Page, own: tuple[Served, Path]) -> None:
    page.goto(f"http://{own[0].host}/plan/text")
    text = page.locator("#text")
    text.fill(text.input_value().replace("units: metric", "units: cubits"))
    expect(page.locator("#faults")).to_contain_text("cubits")
    page.locator("#faults button").first.click()
    assert page.evaluate("document.activeElement.id") == "text"
    text.fill(text.input_value().replace("cubits", "us"))
    expect(page.locator("#faults")).to_contain_text("Nothing is wrong")


def test_a_trial_is_tried_adopted_and_taken_back_with_a_reload_on_the_way(
    page: Page, own: tuple[Served, Path]
) -> None:
    served, folder = own
    before = (folder / "plan.yaml").read_text()
    page.goto(f"http://{served.host}/trials")
    page.get_by_label("So many trees").fill("10")
    page.get_by_label("Keep it as").fill("Ten trees")
    page.get_by_role("button", name="Try it").click()
    page.wait_for_load_state()
    page.goto(page.url)  # as a reload does; the page also asks again by itself, which a reload would run into
    page.get_by_role("link", name="Look at it").click(timeout=90_000)
    expect(page.get_by_role("heading", name="Ten trees")).to_be_visible()
    page.get_by_role("button", name="Make it the plan").click()
    page.get_by_role("button", name="Stop").click()
    expect(page.get_by_text("Stopped.")).to_be_visible()
    assert parse_plan((folder / "plan.yaml").read_text()).trees.total == 10
    page.goto(f"http://{served.host}/plan")
    page.get_by_role("button", name="Take back").click()
    assert (folder / "plan.yaml").read_text() == before


def test_a_plan_is_begun_from_nothing(chromium: Browser, tmp_path: Path, planned: Path) -> None:
    """The real steps on a phone, back and forth, and a reload while it is at work.

    `test_first_plan.py` goes the whole way by keyboard alone and by touch alone.
    """
    folder = tmp_path / "new"
    folder.mkdir()
    context = chromium.new_context(viewport=SIZES["phone"], has_touch=True)
    with Served(folder) as served:
        page = context.new_page()
        page.goto(f"http://{served.host}/")

        def write(label: str, text: str) -> None:
            page.get_by_label(label, exact=False).first.tap()
            page.keyboard.press("Control+A")
            page.keyboard.type(text)

        def press(name: str) -> None:
            page.get_by_role("button", name=name, exact=True).tap()

        for label, text in (
            ("orchard’s name", "Mine"),
            ("Latitude", "39.18"),
            ("Longitude", "-78.16"),
            ("Height", "220 m"),
        ):
            write(label, text)
        page.get_by_label("Or a file of daily").set_input_files(planned / "weather/daily.csv")
        press("Take this file")
        expect(page.get_by_label("The record to plan by")).to_be_visible()
        press("Next: How much ground")
        write("Length along", "14 m")
        write("Width across", "7 m")
        expect(page.locator("#rectangle svg")).to_be_visible()
        press("Next: Who eats what")
        write("Guests in a week", "6")
        press("Next: What you like")
        expect(page.get_by_role("heading", name="What you like")).to_be_visible()
        page.go_back()
        expect(page.get_by_label("Guests in a week")).to_have_value("6")
        page.go_forward()
        expect(page.get_by_role("heading", name="What you like")).to_be_visible()
        press("Work out a first plan")
        expect(page.locator("li.working, li.done").first).to_be_visible(timeout=60_000)
        page.reload()
        press("Stop")
        expect(page.get_by_text("Stopped.")).to_be_visible()
        assert parse_plan((folder / "plan.yaml").read_text()).name == "Mine"
    context.close()


def test_a_page_prints_without_its_tools(page: Page, served: Served) -> None:
    page.goto(f"http://{served.host}/ledger")
    page.emulate_media(media="print")
    for gone in (".pages", ".look", ".change"):
        assert not page.locator(gone).first.is_visible()
    assert page.locator("table").first.is_visible()
    assert page.pdf().startswith(b"%PDF")


@pytest.mark.parametrize("chosen", [False, True])
def test_paper_is_light_whatever_the_screen_is(chromium: Browser, served: Served, chosen: bool) -> None:
    """By the system's theme, and by the button; Letter and A4 are 816 and 794 pixels wide."""
    context = chromium.new_context(
        viewport={"width": 740, "height": 1000}, color_scheme="light" if chosen else "dark"
    )
    page = context.new_page()
    page.goto(f"http://{served.host}/place")
    if chosen:
        page.get_by_role("button", name="dark").click()
        expect(page.locator("html")).to_have_attribute("data-theme", "dark")
    page.wait_for_load_state("networkidle")
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.body).color") == "rgb(0, 0, 0)"
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    shown = page.evaluate(
        "[...document.querySelectorAll('.picture img')].filter(one => one.clientWidth > 300).map(one => one.currentSrc)"
    )
    assert shown
    assert not [one for one in shown if "theme=dark" in one]
    page.goto(f"http://{served.host}/choice")
    box = page.locator(".cells.for-desk svg").bounding_box()
    assert box
    assert box["x"] + box["width"] <= 740
    context.close()


def test_long_tables_go_on_over_a_page_and_the_day_is_not_asked_on_paper(page: Page, served: Served) -> None:
    page.goto(f"http://{served.host}/season")
    page.emulate_media(media="print")
    assert not page.locator("form.day").is_visible()
    page.goto(f"http://{served.host}/ledger")
    assert page.locator(".sheet").first.evaluate("one => getComputedStyle(one).breakInside") == "auto"


def test_what_was_typed_is_not_left_without_a_word_and_is_there_after_back(
    page: Page, served: Served
) -> None:
    asked: list[str] = []

    def stay(dialog: Dialog) -> None:
        asked.append(dialog.type)
        dialog.dismiss()

    page.goto(f"http://{served.host}/plan/money")
    wage = page.get_by_label("wage")
    wage.click()
    page.keyboard.press("Control+A")
    page.keyboard.type("23")
    page.on("dialog", stay)
    page.get_by_role("button", name="dark").click()
    expect(wage).to_have_value("23")
    assert asked == ["beforeunload"]
    page.remove_listener("dialog", stay)
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(f"http://{served.host}/plan")
    page.go_back()
    expect(page.get_by_label("wage")).to_have_value("23")
