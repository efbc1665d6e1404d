"use strict";
// The parts of the phone's screens: elements made of text alone, the place picker, a figure set by big steps.
const el = (tag, more = {}, ...inside) => {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(more)) {
    if (name === "press") made.addEventListener("click", value);
    else if (name in made && name !== "list") made[name] = value;
    else made.setAttribute(name, value);
  }
  made.append(...inside.filter(one => one !== null && one !== ""));
  return made;
};
const press = (says, act, more = {}) => el("button", { type: "button", press: act, ...more }, ...[says].flat());

const parts = (() => {
  const rowName = row => `${row.block} ${row.row}`;
  const lastOf = row => row.runs.length ? row.runs[row.runs.length - 1][1] : 0;
  const standing = (day, where) => {
    const row = day.rows.find(one => one.block === where.block && one.row === where.row);
    const run = row?.runs.find(one => one[0] <= where.place && where.place <= one[1]);
    return run && run[2] >= 0 ? day.cultivars[run[2]] : null;
  };
  const address = where => where.place ? `${where.block} ${where.row}, tree ${where.place}` : `${where.block} ${where.row}`;

  // Every row; `chosen` gets the row.
  const rows = (day, chosen) => {
    const made = [];
    for (const block of new Set(day.rows.map(one => one.block))) {
      const of = day.rows.filter(one => one.block === block);
      made.push(el("h2", {}, block), el("div", { className: "rows" }, ...of.map(row => press(String(row.row), () => chosen(row), { "aria-label": rowName(row) }))));
    }
    return made;
  };

  // A row as a strip of its stretches, a tree chosen by a press on it and by steps.
  const strip = (day, where, moved) => {
    const row = day.rows.find(one => one.block === where.block && one.row === where.row), last = lastOf(row);
    const box = el("div", { className: "strip", role: "img", "aria-label": `Row ${rowName(row)}: ${row.runs.map(([first, end, at]) => `${at < 0 ? "empty" : day.cultivars[at].name} ${first} to ${end}`).join(", ")}` });
    row.runs.forEach(([first, end, at], number) => {
      const part = el("span", { className: at < 0 ? "none" : number % 2 ? "odd" : "" }, at >= 0 && (end - first + 1) / last * 330 > 10 * day.cultivars[at].code.length ? day.cultivars[at].code : "");
      part.style.flexGrow = end - first + 1;
      part.style.flexBasis = 0;
      box.append(part);
    });
    const mark = el("i");
    mark.style.left = `calc(${100 * (where.place - 0.5) / last}% - 3px)`;
    box.append(mark);
    box.addEventListener("click", event => {
      const edge = box.getBoundingClientRect();
      const place = Math.min(last, Math.max(1, Math.ceil((event.clientX - edge.left) / edge.width * last)));
      moved({ ...where, place });
    });
    const step = by => press(by < 0 ? `−${-by}` : `+${by}`, () => moved({ ...where, place: Math.min(last, Math.max(1, where.place + by)) }), { "aria-label": `${by < 0 ? `−${-by}` : `+${by}`} ${Math.abs(by) === 1 ? "tree" : "trees"}` });
    return [box, el("div", { className: "ends" }, el("span", {}, "1"), el("span", {}, String(last))), el("div", { className: "steps" }, step(-10), step(-1), step(1), step(10))];
  };

  // The place in hand, with what stands there.
  const here = (day, where) => {
    const tree = standing(day, where);
    return el("p", { className: "at" }, el("strong", {}, address(where)), tree ? tree.name : where.place ? "no tree in the plan here" : "the whole row");
  };

  const shown = figure => String(Math.round(figure * 10000) / 10000);

  // How much: choices keep at once, steps want Keep. `done` gets the fields of the entry and the words.
  const amount = (of, done, note) => {
    if (of.choices.length) {
      return [el("div", { className: "six" }, ...of.choices.map(([says, figure]) => press(says, () => done(fields(of, figure), `${says} ${of.unit}`))))];
    }
    let figure = of.start;
    const big = el("p", { className: "figure", role: "status" });
    const draw = () => big.replaceChildren(shown(figure), el("small", {}, note ? note(figure) : of.unit));
    draw();
    const step = by => press(by < 0 ? `−${shown(-by)}` : `+${shown(by)}`, () => { figure = Math.min(of.high, Math.max(of.low, figure + by)); draw(); });
    return [big, el("div", { className: of.steps.length > 4 ? "steps of-three" : "steps" }, ...of.steps.map(step)), press("Keep", () => done(fields(of, figure), `${shown(figure)} ${of.unit}`.trim()), { className: "go stay" })];
  };
  const fields = (of, figure) => {
    const value = of.whole ? Math.round(figure * of.factor) : figure * of.factor;
    const more = of.also && Number.isInteger(figure) ? { [of.also]: figure } : {};
    return { [of.entry]: of.many ? [value] : value, ...more };
  };

  return { rows, strip, here, amount, standing, address, lastOf, rowName };
})();
