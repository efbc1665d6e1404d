"""Takes the pictures of README.md that are pages: `make demo pictures`. Needs a Chromium at /usr/bin/chromium.

The page Choice as a desk shows it, and a note in the rows as a phone let in for the day shows it, both served from
FOLDER: the demonstration, planned.
"""

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))

from playwright.sync_api import Browser, sync_playwright
from web.desk import Served
from web.rows import RULES, PhoneServed, a_phone, let_in, to_tree

HERE = Path(__file__).parent
DESK = {"width": 1280, "height": 880}


def main(folder: Path) -> None:
    with sync_playwright() as play:
        chromium = play.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", RULES]
        )
        page_of(folder, chromium)
        phone_of(folder, chromium)
        chromium.close()


def page_of(folder: Path, chromium: Browser) -> None:
    with Served(folder) as served:
        page = chromium.new_page(viewport=DESK)
        page.goto(f"http://{served.host}/choice")
        page.locator(".cells.for-desk .cell").nth(30).click()
        page.screenshot(path=HERE / "choice.png")


def phone_of(folder: Path, chromium: Browser) -> None:
    with PhoneServed(folder) as served, a_phone(chromium) as phone:
        page = let_in(phone, served, "Ana")
        to_tree(page, 3)
        page.wait_for_timeout(500)
        page.screenshot(path=HERE / "phone.png")
    (folder / ".topwire/phones.json").unlink(missing_ok=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
