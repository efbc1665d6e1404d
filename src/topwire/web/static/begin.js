"use strict";
// What is written in the step is sent along with a file or a fetch, so that nothing typed is lost.
const step = document.getElementById("step");
for (const form of document.querySelectorAll("form[data-fills]")) {
  form.addEventListener("submit", () => {
    for (const field of form.querySelectorAll("input[type=hidden]")) {
      const typed = step.elements.namedItem(field.name);
      if (typed && field.name !== "token") field.value = typed.value;
    }
  });
}
const field = (name) => step.elements.namedItem(name);  // “length” is a word of the list itself

// The rectangle, to scale: drawn as it is typed, or pulled at its corner.
const sketch = document.getElementById("rectangle");
const FOOT = 0.3048, LEAST = 2, MOST = 2000;  // [m]
const us = sketch && sketch.dataset.us === "yes";
const metres = (text) => {
  const units = { ft: FOOT, feet: FOOT, "'": FOOT, m: 1, in: FOOT / 12, yd: 3 * FOOT, "": us ? FOOT : 1 };
  let sum = 0;
  for (const [, number, unit] of text.matchAll(/([\d.,]+)\s*([a-z']*)/g)) {
    if (!(unit in units)) return 0;
    const thousands = /^[1-9]\d{0,2}(,\d{3})+(\.\d*)?$/.test(number);
    sum += Number(thousands ? number.replaceAll(",", "") : number.replace(",", ".")) * units[unit];
  }
  return sum;
};
const written = (size) => {
  const bounded = Math.min(MOST, Math.max(LEAST, size)), step = bounded > 30 ? 5 : 1;
  return us ? `${Math.round(bounded / FOOT / step) * step} ft` : `${Math.round(bounded / step) * step} m`;
};
const made = (name, values, text) => {
  const one = document.createElementNS("http://www.w3.org/2000/svg", name);
  for (const [key, value] of Object.entries(values)) one.setAttribute(key, value);
  if (text) one.textContent = text;
  return one;
};
const ROOM = 60;  // dots beside the rectangle, for what stands there and to pull it larger
let pulled = 0;  // the scale while the corner is pulled, so that it stays under the finger
const draw = () => {
  const length = metres(field("length").value), width = metres(field("width").value);
  sketch.replaceChildren();
  if (!length || !width) return;
  const scale = pulled || 260 / Math.max(length, width), w = length * scale, h = width * scale;
  const svg = made("svg", { viewBox: `-8 -26 ${w + ROOM + 40} ${h + 26 + ROOM}`, width: w + ROOM + 40, height: h + 26 + ROOM,
    role: "img", "aria-label": `a rectangle of ${field("length").value} by ${field("width").value}` });
  svg.append(made("rect", { width: w, height: h, class: "ground" }));
  const rows = Math.min(40, Math.max(1, Math.floor(width / 3.6)));
  for (let row = 0; row < rows; row++) {
    const y = (row + 0.5) * h / rows;
    svg.append(made("line", { x1: 4, x2: w - 4, y1: y, y2: y, class: "row" }));
  }
  svg.append(made("text", { x: w / 2, y: -8, "text-anchor": "middle" }, written(length)));
  svg.append(made("text", { x: w + 12, y: h / 2 + 5 }, written(width)));
  svg.append(made("circle", { cx: w, cy: h, r: 22, class: "round" }), made("circle", { cx: w, cy: h, r: 8, class: "corner" }));
  svg.append(made("text", { x: Math.max(0, w - 110), y: h + 34, class: "says" }, "pull this corner"));
  sketch.append(svg);
};
const pull = (event) => {
  const from = sketch.getBoundingClientRect();
  const shown = pulled * pull.shrunk;
  field("length").value = written((event.clientX - from.left - 8 * pull.shrunk) / shown);
  field("width").value = written((event.clientY - from.top - 26 * pull.shrunk) / shown);
  draw();
};
if (sketch) {
  step.addEventListener("input", draw);
  sketch.addEventListener("pointerdown", (event) => {
    if (!event.target.closest(".round, .corner")) return;
    const svg = sketch.querySelector("svg");
    pulled = 260 / Math.max(metres(field("length").value), metres(field("width").value));
    pull.shrunk = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    sketch.setPointerCapture(event.pointerId);
    event.preventDefault();
  });
  sketch.addEventListener("pointermove", (event) => { if (pulled) pull(event); });
  for (const name of ["pointerup", "pointercancel"]) sketch.addEventListener(name, () => { pulled = 0; draw(); });
  draw();
}

// The apples that are known: each a press away from a list.
const names = document.getElementById("names");
if (names) {
  document.getElementById("to-say").hidden = false;
  for (const one of names.querySelectorAll("li")) {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = one.textContent;
    one.replaceChildren(button);
  }
  names.addEventListener("click", (event) => {
    const button = event.target.closest("button");
    if (!button) return;
    const into = field(document.getElementById("into").value), name = button.textContent;
    const there = into.value.split(",").map((part) => part.trim()).filter(Boolean);
    const left = there.filter((part) => part !== name);
    if (left.length === there.length) left.push(name);
    into.value = left.join(", ");
    mark();
  });
  const mark = () => {
    const there = ["must_have", "favourites", "must_not_have"].map((list) => field(list).value).join(",");
    const chosen = new Set(there.split(",").map((part) => part.trim()));
    for (const button of names.querySelectorAll("button"))
      button.setAttribute("aria-pressed", String(chosen.has(button.textContent)));
  };
  step.addEventListener("input", mark);
  mark();
}
