"use strict";
// The cells of a drawing of weeks: pressed, or walked with the arrow keys, each says what it holds.
for (const box of document.querySelectorAll(".cells")) {
  const cells = [...box.querySelectorAll(".cell")];
  const says = box.parentElement.querySelector(".cell-says");
  const place = (cell) => { const b = cell.getBBox(); return [b.x + b.width / 2, b.y + b.height / 2]; };
  let places;  // known once the drawing is in sight
  let at = -1;
  const go = (to) => {
    if (to < 0) return;
    cells[at]?.classList.remove("on");
    at = to;
    cells[at].classList.add("on");
    says.textContent = cells[at].querySelector("title").textContent;
    const seen = box.getBoundingClientRect(), cell = cells[at].getBoundingClientRect();
    if (cell.left < seen.left || cell.right > seen.right) box.scrollLeft += cell.left - seen.left - seen.width / 2;
  };
  const next = (dx, dy) => {
    if (at < 0) return go(0);
    places ??= cells.map(place);
    let best = -1, far = Infinity;
    places.forEach(([x, y], i) => {
      const along = dx ? (x - places[at][0]) * dx : (y - places[at][1]) * dy;
      const aside = Math.abs(dx ? y - places[at][1] : x - places[at][0]);
      if (along > 4 && along + aside * 3 < far) { far = along + aside * 3; best = i; }
    });
    go(best);
  };
  box.addEventListener("click", (event) => {
    const found = event.target.closest(".cell");
    if (found) go(cells.indexOf(found));
  });
  box.addEventListener("pointerover", (event) => {
    const found = event.pointerType === "mouse" && event.target.closest?.(".cell");
    if (found) go(cells.indexOf(found));
  });
  // A finger slides along the weeks: they are narrower than it is.
  box.addEventListener("pointermove", (event) => {
    if (event.pointerType === "mouse") return;
    const found = document.elementFromPoint(event.clientX, event.clientY)?.closest(".cell");
    if (found && box.contains(found)) go(cells.indexOf(found));
  });
  box.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    if (step && !event.ctrlKey && !event.metaKey) { event.preventDefault(); next(...step); }
  });
}
