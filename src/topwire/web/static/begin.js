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
// The rectangle, drawn to scale as it is typed, with its slope.
const sketch = document.getElementById("rectangle");
const metres = (text) => {
  const units = { ft: 0.3048, feet: 0.3048, "'": 0.3048, m: 1, in: 0.0254, yd: 0.9144 };
  let sum = 0, found = false;
  for (const [, number, unit] of text.matchAll(/([\d.,]+)\s*([a-z']+)/g)) {
    if (!(unit in units)) return 0;
    sum += Number(number.replace(",", "")) * units[unit];
    found = true;
  }
  return found ? sum : 0;
};
const field = (name) => step.elements.namedItem(name);  // “length” is a word of the list itself
const draw = () => {
  const length = metres(field("length").value), width = metres(field("width").value);
  sketch.replaceChildren();
  if (!length || !width) return;
  const scale = 300 / Math.max(length, width), space = "http://www.w3.org/2000/svg";
  const made = (name, values, text) => {
    const one = document.createElementNS(space, name);
    for (const [key, value] of Object.entries(values)) one.setAttribute(key, value);
    if (text) one.textContent = text;
    return one;
  };
  const w = length * scale, h = width * scale;
  const svg = made("svg", { viewBox: `-60 -30 ${w + 120} ${h + 60}`, width: w + 120, height: h + 60 });
  svg.append(made("rect", { width: w, height: h, class: "ground" }));
  const rows = Math.min(40, Math.max(1, Math.floor(width / 3.6)));
  for (let row = 0; row < rows; row++) {
    const y = (row + 0.5) * h / rows;
    svg.append(made("line", { x1: 4, x2: w - 4, y1: y, y2: y, class: "row" }));
  }
  svg.append(made("text", { x: w / 2, y: -8, "text-anchor": "middle" }, field("length").value));
  svg.append(made("text", { x: w + 8, y: h / 2 + 5 }, field("width").value));
  sketch.append(svg);
};
if (sketch) {
  step.addEventListener("input", draw);
  draw();
}
