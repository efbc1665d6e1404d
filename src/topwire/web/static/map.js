"use strict";
// The map of trees, drawn on a canvas: move, come nearer, tap a tree, walk through the weeks.
const box = document.getElementById("map");
const canvas = document.createElement("canvas");
const front = canvas.getContext("2d", { alpha: false });
// The ground lies on a layer of its own, as large as the view: moving it draws only what has come into sight.
const sheet = () => document.createElement("canvas").getContext("2d", { alpha: false });
let layer = sheet(), spare = sheet(), pen = layer, stale = true;
const shift = { x: 0, y: 0, restX: 0, restY: 0 };  // [device px] the layer has to move, and what is less than one
const said = document.getElementById("map-said");
const legend = document.getElementById("map-legend");
const panel = document.getElementById("map-tree");
const slider = document.getElementById("map-week");
const weekSays = document.getElementById("map-week-says");
const ink = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();
let data, view, marked = -1, scale = 1, left = 0, top_ = 0, least = 1, week = 0, runs = [], grid, colours, asked = false;
const sizes = { w: 0, h: 0, dpr: 1 };

// ---- patterns that tell classes apart without colour
const tiles = new Map();
const hatch = (number) => {
  if (!number) return null;
  const key = `${number}|${colours.ink}`;
  if (!tiles.has(key)) {
    const tile = document.createElement("canvas");
    tile.width = tile.height = 8;
    const p = tile.getContext("2d");
    p.strokeStyle = p.fillStyle = "#1d1d1b";
    p.globalAlpha = 0.55;
    p.lineWidth = 1;
    const line = (a, b, c, d) => { p.beginPath(); p.moveTo(a, b); p.lineTo(c, d); p.stroke(); };
    if (number === 1 || number === 5) { line(-1, 9, 9, -1); line(-1, 1, 1, -1); line(7, 9, 9, 7); }
    if (number === 2 || number === 5) { line(-1, -1, 9, 9); line(7, -1, 9, 1); line(-1, 7, 1, 9); }
    if (number === 3 || number === 6) line(0, 4, 8, 4);
    if (number === 4 || number === 6) line(4, 0, 4, 8);
    if (number === 7) { p.beginPath(); p.arc(4, 4, 1.5, 0, 7); p.fill(); }
    tiles.set(key, pen.createPattern(tile, "repeat"));
  }
  return tiles.get(key);
};

// ---- places on the page
const px = (x) => (x - left) * scale;
const py = (y) => (top_ - y) * scale;
const bounds = () => {
  const xs = [], ys = [];
  const put = (p) => { xs.push(p[0]); ys.push(p[1]); };
  for (const block of data.blocks) block.rings.forEach((ring) => ring.forEach(put));
  data.rows.forEach((row) => { put(row.start); put(row.end); });
  data.fence.forEach((ring) => ring.forEach(put));
  if (data.gate) put(data.gate);
  const low = (v) => v.reduce((a, b) => Math.min(a, b)), high = (v) => v.reduce((a, b) => Math.max(a, b));
  return [low(xs), low(ys), high(xs), high(ys)];
};
const all = () => {
  const [x0, y0, x1, y1] = data.bounds;
  const edge = 34;
  scale = least = Math.min((sizes.w - 2 * edge) / Math.max(x1 - x0, 1), (sizes.h - 2 * edge) / Math.max(y1 - y0, 1));
  left = (x0 + x1) / 2 - sizes.w / 2 / scale;
  top_ = (y0 + y1) / 2 + sizes.h / 2 / scale;
  draw();
};
const nearer = (by, x = sizes.w / 2, y = sizes.h / 2) => {
  const gx = left + x / scale, gy = top_ - y / scale;
  scale = Math.max(least * 0.8, Math.min(scale * by, 120));
  left = gx - x / scale;
  top_ = gy + y / scale;
  draw();
};
const move = (dx, dy) => {
  // By whole dots of the screen, so that what is drawn may be moved instead of drawn anew.
  shift.restX += dx * sizes.dpr; shift.restY += dy * sizes.dpr;
  const x = Math.round(shift.restX), y = Math.round(shift.restY);
  shift.restX -= x; shift.restY -= y; shift.x += x; shift.y += y;
  left -= x / sizes.dpr / scale; top_ += y / sizes.dpr / scale;
  draw(false);
};

// ---- drawing, at most once a frame
const draw = (anew = true) => { stale ||= anew; if (!asked) { asked = true; requestAnimationFrame(paint); } };
const path = (ring) => {
  pen.beginPath();
  ring.forEach((p, i) => (i ? pen.lineTo(px(p[0]), py(p[1])) : pen.moveTo(px(p[0]), py(p[1]))));
  pen.closePath();
};
const inWeek = (weeks) => weeks && (weeks[0] <= weeks[1] ? week >= weeks[0] && week <= weeks[1] : week >= weeks[0] || week <= weeks[1]);
const look = (tree) => {
  // colour and pattern of a tree: by its class, or by what it does in the week of the slider
  if (!week) {
    const one = view.classes[view.of[tree]];
    return one ? [one.colour, one.hatch] : [colours.line, 0];
  }
  const kind = data.cultivars[data.cultivar[tree]];
  if (inWeek(kind.bloom)) return ["#f3c9d2", 7];
  if (inWeek(kind.pick)) return ["#e0a63c", 1];
  return [colours.leaf, 0];
};
const band = (a, b, colour, number, thick) => {
  pen.beginPath(); pen.moveTo(a[0], a[1]); pen.lineTo(b[0], b[1]);
  pen.lineWidth = thick; pen.strokeStyle = colour; pen.stroke();
  const pattern = hatch(number);
  if (pattern) { pen.strokeStyle = pattern; pen.stroke(); }
};
const paint = () => {
  asked = false;
  const began = performance.now(), { w, h, dpr } = sizes;
  if (!w || !h) return;  // the page is not laid out yet
  if (stale || Math.abs(shift.x) >= w * dpr || Math.abs(shift.y) >= h * dpr) {
    pen = layer;
    paintGround(0, 0, w, h);
  } else if (shift.x || shift.y) {
    pen = spare;
    pen.setTransform(1, 0, 0, 1, 0, 0);
    pen.drawImage(layer.canvas, shift.x, shift.y);
    spare = layer; layer = pen;
    const dx = shift.x / dpr, dy = shift.y / dpr;
    if (dx) paintGround(dx > 0 ? 0 : w + dx, 0, Math.abs(dx), h);
    if (dy) paintGround(0, dy > 0 ? 0 : h + dy, w, Math.abs(dy));
  }
  stale = false; shift.x = shift.y = 0;
  pen = front;
  pen.setTransform(1, 0, 0, 1, 0, 0);
  pen.drawImage(layer.canvas, 0, 0);
  pen.setTransform(dpr, 0, 0, dpr, 0, 0);
  paintMarked();
  paintScale();
  canvas.dataset.ms = (performance.now() - began).toFixed(1);
};
// A part of the view, drawn anew.
const paintGround = (x, y, w, h) => {
  pen.setTransform(sizes.dpr, 0, 0, sizes.dpr, 0, 0);
  pen.save();
  pen.beginPath(); pen.rect(x, y, w, h); pen.clip();
  pen.fillStyle = colours.sheet; pen.fillRect(x, y, w, h);
  pen.lineCap = "butt";
  const anchored = new DOMMatrix().translate(px(0) % 8, py(0) % 8);  // patterns lie on the ground, not on the screen
  for (const tile of tiles.values()) tile.setTransform(anchored);
  for (const block of data.blocks) {
    for (const ring of block.rings) { path(ring); pen.fillStyle = colours.paper; pen.fill(); pen.lineWidth = 1; pen.strokeStyle = colours.edge; pen.stroke(); }
    for (const ring of block.holes) { path(ring); pen.fillStyle = colours.sheet; pen.fill(); pen.stroke(); }
  }
  pen.setLineDash([3, 3]);
  for (const ring of data.obstacles) { path(ring); pen.fillStyle = colours.line; pen.fill(); pen.stroke(); }
  pen.setLineDash([8, 4, 2, 4]);
  for (const ring of data.fence) { path(ring); pen.strokeStyle = colours.ink; pen.stroke(); }
  pen.setLineDash([]);
  pen.strokeStyle = colours.edge; pen.lineWidth = 1;
  pen.beginPath();
  for (const row of data.rows) {
    const ax = px(row.start[0]), ay = py(row.start[1]), bx = px(row.end[0]), by = py(row.end[1]);
    if (beside(ax, ay, bx, by, x, y, w, h)) continue;
    pen.moveTo(ax, ay); pen.lineTo(bx, by);
  }
  pen.stroke();
  if (scale * Math.min(...data.spacing) > 7) paintTrees(x, y, w, h); else paintRuns(x, y, w, h);
  paintWords(x, y, w, h);
  pen.restore();
};
const REACH = 40;  // [px] what is drawn of a tree, a run or a row's number beside its place
const beside = (ax, ay, bx, by, x, y, w, h) => Math.max(ax, bx) < x - REACH || Math.min(ax, bx) > x + w + REACH || Math.max(ay, by) < y - REACH || Math.min(ay, by) > y + h + REACH;
const paintRuns = (x, y, w, h) => {
  for (const run of runs) {
    const a = [px(run.ax), py(run.ay)], b = [px(run.bx), py(run.by)];
    if (beside(...a, ...b, x, y, w, h)) continue;
    const [colour, number] = look(run.first);
    const thick = Math.max(2.5, Math.min(0.5 * run.pitch * scale, 22));
    band(a, b, colour, number, thick);
    const sign = week ? data.cultivars[data.cultivar[run.first]].code : view.classes[view.of[run.first]]?.sign;
    const long = Math.hypot(b[0] - a[0], b[1] - a[1]);
    if (sign && thick > 9 && long > sign.length * 9 + 6) {
      pen.save();
      pen.translate((a[0] + b[0]) / 2, (a[1] + b[1]) / 2);
      let turn = Math.atan2(b[1] - a[1], b[0] - a[0]);
      if (turn > Math.PI / 2) turn -= Math.PI; else if (turn <= -Math.PI / 2) turn += Math.PI;
      pen.rotate(turn);
      word(sign, 0, 0, 12);
      pen.restore();
    }
  }
};
const word = (text, x, y, size) => {
  pen.font = `600 ${size}px system-ui, sans-serif`;
  pen.textAlign = "center"; pen.textBaseline = "middle";
  pen.lineWidth = 3; pen.strokeStyle = "#ffffff"; pen.strokeText(text, x, y);
  pen.fillStyle = "#1d1d1b"; pen.fillText(text, x, y);
};
// A tree of a kind is drawn once, and laid down wherever it stands.
const stamps = new Map();
const stamp = (colour, number, r, sign) => {
  const key = `${colour}|${number}|${r}|${sign}|${sizes.dpr}`;
  if (!stamps.has(key)) {
    if (stamps.size > 500) stamps.clear();
    const made = document.createElement("canvas"), before = pen, half = r + 12;
    made.width = made.height = Math.ceil(2 * half * sizes.dpr);
    pen = made.getContext("2d");
    pen.setTransform(sizes.dpr, 0, 0, sizes.dpr, half * sizes.dpr, half * sizes.dpr);
    pen.beginPath(); pen.arc(0, 0, r, 0, 7);
    pen.fillStyle = colour; pen.fill();
    const pattern = hatch(number);
    if (pattern) { pattern.setTransform(new DOMMatrix()); pen.fillStyle = pattern; pen.fill(); }
    pen.lineWidth = 1; pen.strokeStyle = "#57534a"; pen.stroke();
    if (sign) word(sign, 0, 0, Math.min(r * 0.75, 13));
    pen = before;
    stamps.set(key, made);
  }
  return stamps.get(key);
};
const paintTrees = (x, y, w, h) => {
  const edge = REACH / scale;
  const x0 = left + x / scale - edge, x1 = left + (x + w) / scale + edge, y1 = top_ - y / scale + edge, y0 = top_ - (y + h) / scale - edge;
  for (let i = 0; i < data.x.length; i++) {
    if (data.x[i] < x0 || data.x[i] > x1 || data.y[i] < y0 || data.y[i] > y1) continue;
    const [colour, number] = look(i);
    const r = Math.min(0.42 * data.spacing[data.row[i]] * scale, 26);
    const sign = r > 11 ? week ? data.cultivars[data.cultivar[i]].code : view.classes[view.of[i]]?.sign || "" : "";
    const drawn = stamp(colour, number, Math.round(r * 4) / 4, sign), wide = drawn.width / sizes.dpr;
    pen.drawImage(drawn, px(data.x[i]) - wide / 2, py(data.y[i]) - wide / 2, wide, wide);
  }
};
const paintWords = (x, y, w, h) => {
  pen.textAlign = "center"; pen.textBaseline = "middle";
  pen.font = "12px system-ui, sans-serif"; pen.fillStyle = colours.ink;
  const apart = data.rows.length > 1 ? Math.min(...data.pitch) * scale : 99, every = Math.ceil(13 / Math.max(apart, 0.1));  // numbers that would lie on each other
  data.rows.forEach((row, i) => {
    if (i % every) return;
    const dx = px(row.end[0]) - px(row.start[0]), dy = py(row.end[1]) - py(row.start[1]), long = Math.hypot(dx, dy) || 1;
    const at = [px(row.start[0]) - (dx / long) * 13, py(row.start[1]) - (dy / long) * 13];
    if (!beside(...at, ...at, x, y, w, h)) pen.fillText(row.number, ...at);
  });
  pen.font = "600 15px Georgia, serif";
  for (const block of data.blocks) {
    if (!block.rings.length) continue;
    const top = block.rings[0].reduce((a, b) => (b[1] > a[1] ? b : a));
    const middle = block.rings[0].reduce((a, b) => a + b[0], 0) / block.rings[0].length;
    pen.fillText(block.name, px(middle), py(top[1]) - 12);
  }
  if (data.gate) { pen.strokeStyle = colours.ink; pen.lineWidth = 2; pen.strokeRect(px(data.gate[0]) - 5, py(data.gate[1]) - 5, 10, 10); pen.font = "12px system-ui, sans-serif"; pen.fillText("gate", px(data.gate[0]), py(data.gate[1]) + 15); }
};
const paintScale = () => {
  pen.textAlign = "center"; pen.textBaseline = "middle"; pen.font = "12px system-ui, sans-serif"; pen.fillStyle = colours.ink;
  pen.fillText("N", sizes.w - 18, 34);
  pen.beginPath(); pen.moveTo(sizes.w - 18, 8); pen.lineTo(sizes.w - 13, 24); pen.lineTo(sizes.w - 18, 20); pen.lineTo(sizes.w - 23, 24); pen.closePath(); pen.fill();
  const unit = data.foot || 1, name = data.foot ? "ft" : "m";
  const length = [1, 3, 5, 10, 20, 30, 50, 100, 200, 300, 500, 1000].filter((l) => l * unit * scale < 150).pop() || 1;
  const long = length * unit * scale, y = sizes.h - 14;
  pen.strokeStyle = colours.ink; pen.lineWidth = 1.5;
  pen.beginPath(); pen.moveTo(14, y - 5); pen.lineTo(14, y); pen.lineTo(14 + long, y); pen.lineTo(14 + long, y - 5); pen.stroke();
  pen.fillText(`${length} ${name}`, 14 + long / 2, y - 9);
};
const paintMarked = () => {
  if (marked < 0) return;
  const x = px(data.x[marked]), y = py(data.y[marked]);
  pen.strokeStyle = colours.green; pen.lineWidth = 1.5; pen.setLineDash([5, 3]);
  for (const donor of nearestDonors(marked)) { pen.beginPath(); pen.moveTo(x, y); pen.lineTo(px(data.x[donor]), py(data.y[donor])); pen.stroke(); pen.beginPath(); pen.arc(px(data.x[donor]), py(data.y[donor]), 5, 0, 7); pen.stroke(); }
  pen.setLineDash([]);
  pen.lineWidth = 4; pen.strokeStyle = "#ffffff"; pen.beginPath(); pen.arc(x, y, Math.max(9, 0.5 * scale), 0, 7); pen.stroke();
  pen.lineWidth = 2.5; pen.strokeStyle = "#1d1d1b"; pen.stroke();
};
const nearestDonors = (tree) => data.cultivars[data.cultivar[tree]].donors.map((kind) => {
  let best = -1, far = Infinity;
  for (let i = 0; i < data.x.length; i++) {
    if (data.cultivar[i] !== kind) continue;
    const d = (data.x[i] - data.x[tree]) ** 2 + (data.y[i] - data.y[tree]) ** 2;
    if (d < far) { far = d; best = i; }
  }
  return best;
}).filter((i) => i >= 0);

// ---- runs of neighbours alike, so that a far view draws few strokes
const findRuns = () => {
  runs = [];
  let first = 0;
  for (let i = 1; i <= data.x.length; i++) {
    const alike = i < data.x.length && data.row[i] === data.row[first] && data.cultivar[i] === data.cultivar[first]
      && view.of[i] === view.of[first] && data.place[i] === data.place[i - 1] + 1;
    if (alike) continue;
    const row = data.rows[data.row[first]], long = Math.hypot(row.end[0] - row.start[0], row.end[1] - row.start[1]) || 1;
    const half = data.spacing[data.row[first]] / 2, ux = (row.end[0] - row.start[0]) / long * half, uy = (row.end[1] - row.start[1]) / long * half;
    runs.push({ first, ax: data.x[first] - ux, ay: data.y[first] - uy, bx: data.x[i - 1] + ux, by: data.y[i - 1] + uy, pitch: data.pitch[data.row[first]] });
    first = i;
  }
};
const findGrid = () => {
  grid = new Map();
  data.x.forEach((x, i) => {
    const key = `${Math.floor(x / 5)},${Math.floor(data.y[i] / 5)}`;
    if (!grid.has(key)) grid.set(key, []);
    grid.get(key).push(i);
  });
};
const treeAt = (x, y) => {
  const gx = left + x / scale, gy = top_ - y / scale, reach = Math.max(3, 22 / scale);
  let best = -1, far = reach ** 2;
  const cells = Math.ceil(reach / 5);
  for (let a = -cells; a <= cells; a++) for (let b = -cells; b <= cells; b++) {
    for (const i of grid.get(`${Math.floor(gx / 5) + a},${Math.floor(gy / 5) + b}`) || []) {
      const d = (data.x[i] - gx) ** 2 + (data.y[i] - gy) ** 2;
      if (d < far) { far = d; best = i; }
    }
  }
  return best;
};
const nearest = (gx, gy) => {
  let best = -1, far = Infinity;
  data.x.forEach((x, i) => { const d = (x - gx) ** 2 + (data.y[i] - gy) ** 2; if (d < far) { far = d; best = i; } });
  return best;
};
const address = (tree) => `${data.rows[data.row[tree]].name}, tree ${data.place[tree]}`;
const mark = async (tree, near = false) => {
  marked = tree;
  if (tree < 0) return;
  if (near || px(data.x[tree]) < 20 || px(data.x[tree]) > sizes.w - 20 || py(data.y[tree]) < 20 || py(data.y[tree]) > sizes.h - 20) {
    if (near) scale = Math.max(scale, 14);
    left = data.x[tree] - sizes.w / 2 / scale;
    top_ = data.y[tree] + sizes.h / 2 / scale;
  }
  draw();
  said.textContent = `${address(tree)}: ${data.cultivars[data.cultivar[tree]].name}`;
  const mine = tree;
  try {
    const answer = await fetch(`/tree?at=${encodeURIComponent(address(tree))}&part=1`);
    if (answer.ok && marked === mine) panel.innerHTML = await answer.text();
  } catch { /* what is marked stays marked */ }
};

// ---- legend and weeks
const show = () => {
  legend.replaceChildren();
  const title = document.createElement("p");
  title.className = "legend-title";
  const list = document.createElement("ul");
  const entry = (colour, number, sign, text) => {
    const item = document.createElement("li"), swatch = document.createElement("canvas");
    swatch.width = 52; swatch.height = 28; swatch.setAttribute("aria-hidden", "true");
    const p = swatch.getContext("2d");
    p.fillStyle = colour; p.fillRect(0, 0, 52, 28);
    const pattern = hatch(number);
    if (pattern) { p.fillStyle = pattern; p.fillRect(0, 0, 52, 28); }
    if (sign) { p.font = "600 18px system-ui, sans-serif"; p.textAlign = "center"; p.textBaseline = "middle"; p.lineWidth = 4; p.strokeStyle = "#fff"; p.strokeText(sign, 26, 15); p.fillStyle = "#1d1d1b"; p.fillText(sign, 26, 15); }
    item.append(swatch, ` ${text}`);
    list.append(item);
  };
  if (week) {
    const doing = (which) => data.cultivars.filter((one, k) => inWeek(one[which]) && data.cultivar.includes(k)).map((one) => one.name);
    const bloom = doing("bloom"), pick = doing("pick");
    title.textContent = data.weeks[week - 1];
    entry("#f3c9d2", 7, "", `in bloom: ${bloom.join(", ") || "none"}`);
    entry("#e0a63c", 1, "", `being picked: ${pick.join(", ") || "none"}`);
    entry(colours.leaf, 0, "", "neither");
  } else {
    title.textContent = view.title;
    for (const one of view.classes) entry(one.colour, one.hatch, one.sign, `${one.name} (${one.trees})`);
  }
  legend.append(title, list);
  if (list.scrollHeight > list.clientHeight) list.tabIndex = 0; // what scrolls is reached by keyboard too
  weekSays.textContent = week ? data.weeks[week - 1] : "all year";
  slider.setAttribute("aria-valuetext", weekSays.textContent);
};
const choose = (key) => { view = data.views.find((one) => one.key === key) || data.views[0]; findRuns(); show(); draw(); };

// ---- mouse, touch, keys
const fingers = new Map();
let moved = 0, spread = 0;
canvas.addEventListener("pointerdown", (e) => { canvas.setPointerCapture(e.pointerId); fingers.set(e.pointerId, [e.offsetX, e.offsetY]); moved = 0; spread = 0; });
canvas.addEventListener("pointermove", (e) => {
  const was = fingers.get(e.pointerId);
  if (!was) return;
  fingers.set(e.pointerId, [e.offsetX, e.offsetY]);
  if (fingers.size === 1) { moved += Math.hypot(e.offsetX - was[0], e.offsetY - was[1]); move(e.offsetX - was[0], e.offsetY - was[1]); return; }
  const [a, b] = [...fingers.values()], now = Math.hypot(a[0] - b[0], a[1] - b[1]);
  if (spread) nearer(now / spread, (a[0] + b[0]) / 2, (a[1] + b[1]) / 2);
  spread = now; moved = 99;
});
const lift = (e) => { if (fingers.delete(e.pointerId) && e.type === "pointerup" && moved < 8) mark(treeAt(e.offsetX, e.offsetY)); spread = 0; };
canvas.addEventListener("pointerup", lift);
canvas.addEventListener("pointercancel", lift);
canvas.addEventListener("wheel", (e) => { if (!e.ctrlKey && !canvas.matches(":focus")) return; e.preventDefault(); nearer(Math.exp(-e.deltaY * 0.0015), e.offsetX, e.offsetY); }, { passive: false });
canvas.addEventListener("keydown", (e) => {
  const step = 60, does = {
    ArrowLeft: () => move(step, 0), ArrowRight: () => move(-step, 0), ArrowUp: () => move(0, step), ArrowDown: () => move(0, -step),
    "+": () => nearer(1.4), "=": () => nearer(1.4), "-": () => nearer(1 / 1.4), "0": all,
    PageDown: () => mark(Math.min(marked + 1, data.x.length - 1)), PageUp: () => mark(Math.max(marked - 1, 0)),
    Enter: () => { if (marked >= 0) location.href = `/tree?at=${encodeURIComponent(address(marked))}`; else mark(nearest(left + sizes.w / 2 / scale, top_ - sizes.h / 2 / scale)); },
  }[e.key];
  if (does && !e.ctrlKey && !e.metaKey) { e.preventDefault(); does(); }
});
document.getElementById("map-tools").addEventListener("click", (e) => {
  const does = { in: () => nearer(1.5), out: () => nearer(1 / 1.5), all }[e.target.dataset?.does];
  if (does) does();
});
const byView = document.querySelector(".by fieldset");
byView.addEventListener("change", async (e) => {
  const one = e.target.value;
  if (one === "records") await noted();
  week = 0; slider.value = 0; choose(one); history.replaceState(null, "", `?by=${one}`);
});
// The records change with every note, so they are asked for apart and anew.
const noted = async () => {
  const answer = await fetch("/map-records.json");
  if (answer.ok) data.views = [...data.views.filter((one) => one.key !== "records"), await answer.json()];
};
slider.addEventListener("input", () => { week = Number(slider.value); show(); draw(); });

const fit = () => {
  sizes.w = box.clientWidth; const [x0, y0, x1, y1] = data.bounds;
  sizes.h = Math.max(300, Math.min(window.innerHeight * 0.75, 90 + (sizes.w - 68) * (y1 - y0) / Math.max(x1 - x0, 1))); sizes.dpr = window.devicePixelRatio || 1;
  for (const one of [canvas, layer.canvas, spare.canvas]) { one.width = sizes.w * sizes.dpr; one.height = sizes.h * sizes.dpr; }
  canvas.style.setProperty("width", `${sizes.w}px`); canvas.style.setProperty("height", `${sizes.h}px`);
  all();
};
const paints = () => { colours = { ink: ink("--ink"), paper: ink("--paper"), sheet: ink("--sheet"), edge: ink("--edge"), line: ink("--line"), green: ink("--green"), leaf: ink("--leaf") }; };
(async () => {
  const answer = await fetch(box.dataset.from);
  if (!answer.ok) return;
  data = await answer.json();
  data.bounds = bounds();
  canvas.tabIndex = 0;
  canvas.id = "canvas";
  canvas.setAttribute("role", "application");
  canvas.setAttribute("aria-label", "Map of the trees. Arrows move, plus and minus come nearer and go away, 0 shows all, Page Down and Page Up walk from tree to tree, Enter opens the tree.");
  box.replaceChildren(canvas);
  document.getElementById("map-all").hidden = false;
  paints();
  findGrid();
  const radio = Object.assign(document.createElement("input"), { type: "radio", name: "by", value: "records" });
  const label = document.createElement("label");
  label.append(radio, " records");
  byView.append(" ", label);
  radio.checked = new URLSearchParams(location.search).get("by") === "records";
  if (radio.checked) await noted();
  choose(radio.checked ? "records" : box.dataset.by);
  fit();
  const wanted = new URLSearchParams(location.search).get("tree");
  if (wanted) { const tree = data.x.findIndex((_, i) => address(i) === wanted); if (tree >= 0) mark(tree, true); }
  new ResizeObserver(() => { if (box.clientWidth !== sizes.w) fit(); }).observe(box);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => { paints(); show(); draw(); });
})();
