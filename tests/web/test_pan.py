"""Thirty thousand trees on the map: moved, it shows what drawing anew shows, and keeps up with a hand."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from faces import invented
from playwright.sync_api import Page, sync_playwright
from web.desk import Served, furnished

SCALES = (0.7, 6.5, 14)  # dots a metre: everything, runs of trees, single trees
FRAME = 1000 / 30  # [ms]
PAN = """async scaled => {
  scale = scaled;
  left = (data.bounds[0] + data.bounds[2]) / 2; top_ = (data.bounds[1] + data.bounds[3]) / 2;
  draw();
  const frame = () => new Promise(well => requestAnimationFrame(() => setTimeout(well)));
  await frame(); await frame();
  const took = [];
  for (let n = 0; n < 40; n++) {
    move(n % 20 < 10 ? -23 : 17.5, n % 14 < 7 ? -9 : 11);
    await frame();
    took.push(Number(canvas.dataset.ms));
  }
  const picture = () => front.getImageData(0, 0, canvas.width, canvas.height).data;
  const moved = picture();
  draw(); await frame(); await frame();
  const anew = picture();
  let other = 0;
  const apart = n => Math.abs(anew[n] - moved[n]) + Math.abs(anew[n + 1] - moved[n + 1]);
  for (let n = 0; n < anew.length; n += 4) if (apart(n) > 60) other++;
  took.sort((a, b) => a - b);
  return { trees: data.x.length, middle: took[20], other: other / (anew.length / 4) };
}"""


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    names = tuple(f"Cultivar {number}" for number in range(30))
    large: Path = furnished(
        tmp_path_factory.mktemp("pan") / "yard", invented.orchard(names=names, rows=300, places=101)
    )
    with Served(large) as desk, sync_playwright() as play:
        chromium = play.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        found = chromium.new_page(viewport={"width": 1000, "height": 800})
        found.goto(f"http://{desk.host}/ground")
        found.locator("#canvas").wait_for()
        yield found
        chromium.close()


@pytest.mark.parametrize("scale", SCALES)
def test_a_moved_map_is_the_map_drawn_anew_and_a_frame_is_short(page: Page, scale: float) -> None:
    found = page.evaluate(PAN, scale)
    assert found["trees"] >= 30_000
    assert found["other"] < 0.002
    assert found["middle"] < FRAME
