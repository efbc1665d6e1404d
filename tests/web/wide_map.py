"""Thirty thousand trees on the map in a browser, moved about as by a hand; for the tests and the benchmark."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from faces import invented
from playwright.sync_api import Page, sync_playwright
from web.desk import Served, furnished

SCALES = (0.7, 6.5, 14)  # dots a metre: everything, runs of trees, single trees
_PAN = """async scaled => {
  // what is laid down on any canvas is counted: shapes, words, pictures
  let laid = 0;
  const brush = CanvasRenderingContext2D.prototype, own = {};
  for (const one of ["drawImage", "fill", "stroke", "fillText", "strokeText"]) {
    own[one] = brush[one];
    brush[one] = function (...rest) { laid++; return own[one].apply(this, rest); };
  }
  scale = scaled;
  left = (data.bounds[0] + data.bounds[2]) / 2; top_ = (data.bounds[1] + data.bounds[3]) / 2;
  const frame = () => new Promise(well => requestAnimationFrame(() => setTimeout(well)));
  draw(); await frame(); await frame();  // stamps are made in the first
  laid = 0;
  draw(); await frame();
  const whole = laid, frames = [];
  for (let n = 0; n < 40; n++) {
    laid = 0;
    move(n % 20 < 10 ? -23 : 17.5, n % 14 < 7 ? -9 : 11);
    await frame();
    frames.push([laid, Number(canvas.dataset.ms)]);
  }
  Object.assign(brush, own);
  const picture = () => front.getImageData(0, 0, canvas.width, canvas.height).data;
  const moved = picture();
  draw(); await frame(); await frame();
  const anew = picture();
  let other = 0;
  const apart = n => Math.abs(anew[n] - moved[n]) + Math.abs(anew[n + 1] - moved[n + 1]);
  for (let n = 0; n < anew.length; n += 4) if (apart(n) > 60) other++;
  return { trees: data.x.length, whole, frames, other: other / (anew.length / 4) };
}"""


@contextmanager
def wide_map(folder: Path) -> Iterator[Page]:
    """The map of an invented orchard of 30,300 trees and 30 cultivars, which is made in `folder`."""
    names = tuple(f"Cultivar {number}" for number in range(30))
    furnished(folder, invented.orchard(names=names, rows=300, places=101))
    with Served(folder) as desk, sync_playwright() as play:
        chromium = play.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        page = chromium.new_page(viewport={"width": 1000, "height": 800})
        page.goto(f"http://{desk.host}/ground")
        page.locator("#canvas").wait_for()
        yield page
        chromium.close()


def moved(page: Page, scale: float) -> dict[str, Any]:
    """Forty moves at so many dots a metre.

    Returns
    -------
    trees : number of them on the map
    whole : what is laid down on the canvas where all is drawn anew [1]
    frames : what each of the forty frames lays down [1], and its time [ms]
    other : share of the picture that is not what drawing anew shows [1]
    """
    found: dict[str, Any] = page.evaluate(_PAN, scale)
    return found
