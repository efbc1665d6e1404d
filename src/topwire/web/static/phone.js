"use strict";
// The screens: find a tree, note, jobs, pick. Addresses of screens stand behind “#/”, so that going back works.
const screenAt = document.getElementById("screen"), title = document.getElementById("title");
const bar = document.getElementById("bar"), undoAt = document.getElementById("undo");
const mine = typeof own !== "undefined";  // the grower's own phone, over https
let day = null, queue = [], sent = [], held = 0, undoing = 0, chosen = null;

const remembered = () => {
  try {
    const found = JSON.parse(localStorage.getItem("where"));
    if (day.rows.some(one => one.block === found?.block && one.row === found?.row && found.place <= parts.lastOf(one))) return found;
  } catch { /* none yet */ }
  return null;
};
const remember = where => { localStorage.setItem("where", JSON.stringify(where)); return where; };
const go = to => { if (location.hash === `#/${to}`) draw(); else location.hash = `#/${to}`; };
const show = (says, ...inside) => {
  title.textContent = says;
  screenAt.replaceChildren(...inside.flat(2).filter(one => one !== null && one !== ""));
};
const plural = (number, word) => `${number} ${word}${number === 1 ? "" : "s"}`;

// A glove presses twice: within 0.7 s of a note no other is kept.
const keep = async (entry, says, then) => {
  if (Date.now() - held < 700) return;
  held = Date.now();
  try {
    const id = await keeper.keep(entry, says);
    offerUndo(id, says);
    if (then) then();
  } catch {
    show("Not kept", el("p", { className: "harm" }, "This phone could not keep the note. Is its storage full, or is this a private window? Write it down on paper."));
  }
};

const offerUndo = (id, says) => {
  clearInterval(undoing);
  const until = Date.now() + 60000;
  const left = el("span");
  const end = () => { clearInterval(undoing); undoAt.hidden = true; };
  undoAt.replaceChildren(el("span", {}, `Kept: ${says}`), press(["Undo ", left], async () => { end(); await keeper.undo(id); await fresh(); draw(); }));
  undoAt.hidden = false;
  const tick = () => { const seconds = Math.ceil((until - Date.now()) / 1000); if (seconds <= 0) end(); else left.textContent = seconds; };
  tick();
  undoing = setInterval(tick, 1000);
};

// Words of an entry for a place: a row has no place, and a row of one cultivar is of that.
const placed = where => {
  const tree = where.place ? parts.standing(day, where) : null;
  return { block: where.block, row: where.row, ...(where.place ? { place: where.place } : {}), ...(tree ? { cultivar: tree.name } : {}) };
};

const screens = {
  "": () => {
    const where = remembered();
    show(day.name, 
      day.says ? el("p", { className: "says" }, day.says) : null,
      where ? press(["Note at ", parts.address(where), el("small", {}, "where you were last")], () => go("note"), { className: "go" }) : null,
      el("div", { className: "big list" }, press("Find a tree", () => go("find")), press("Note", () => go("note")), press(["Jobs", el("small", {}, plural(openJobs().length, "job"))], () => go("jobs")), press(["Pick", el("small", {}, plural(day.picks.length, "cultivar"))], () => go("pick"))),
      el("div", { className: "says" }, el("p", {}, `${day.who}’s phone, until ${day.until}. For ${day.day}.`), el("p", {}, mine ? own.kept ? "Out of reach of the Wi-Fi everything goes on: the page starts there too, and keeps your notes until the desk is in reach. From the browser’s menu it can be put among the phone’s applications." : "Not yet kept on this phone: stay in reach of the Wi-Fi for a moment and load the page anew." : "Leave this page open. Out of reach of the Wi-Fi it goes on and keeps your notes, but it cannot be loaded anew there. Plain http: who shares the Wi-Fi can read along.")),
      press("Light or dark", () => {
        const dark = getComputedStyle(document.documentElement).colorScheme.includes("dark");
        localStorage.setItem("theme", document.documentElement.dataset.theme = dark ? "light" : "dark");
      }));
  },

  find: () => show("Find a tree", typed(), parts.rows(day, row => { remember({ block: row.block, row: row.row, place: 1 }); go("tree"); })),

  tree: () => {
    const where = remembered();
    if (!where) return go("find");
    const tree = parts.standing(day, where);
    const noted = [...sent.filter(one => !one.undone), ...queue].filter(one => one.entry.block === where.block && one.entry.row === where.row && one.entry.place === where.place);
    show("Tree", parts.here(day, where), parts.strip(day, where, to => { remember(to); draw(); }),
      el("div", { className: "two" }, press("Note here", () => go("note"), { className: "go" }), press("Other row", () => go("find"))),
      tree ? el("dl", {}, ...Object.entries(tree.facts).flatMap(([says, fact]) => [el("dt", {}, says), el("dd", {}, fact)])) : null,
      noted.length ? [el("h2", {}, "Noted with this phone"), el("ul", {}, ...noted.map(one => el("li", {}, one.says)))] : null);
  },

  note: () => {
    const where = remembered();
    if (!where) return show("Note: which row?", parts.rows(day, row => { remember({ block: row.block, row: row.row, place: 1 }); draw(); }));
    const likely = (parts.standing(day, where)?.likely ?? day.likely).map(name => day.offers.find(one => one.name === name));
    const rest = day.offers.filter(one => !likely.includes(one));
    const offer = one => press(one.says, () => one.amount ? (chosen = one, go("much")) : note(one, where, {}, ""));
    show("Note", parts.here(day, where), parts.strip(day, where, to => { remember(to); draw(); }),
      el("div", { className: "six" }, ...likely.map(offer)),
      el("div", { className: "two" }, press("Other row", () => go("rows")), press("More to note", () => go("more"))));
    screens.more = () => show("More to note", parts.here(day, remembered() ?? where), el("div", { className: "six" }, ...rest.map(offer)));
  },

  rows: () => show("Which row?", parts.rows(day, row => { remember({ block: row.block, row: row.row, place: 1 }); history.back(); })),

  much: () => {
    const where = remembered(), one = chosen;
    if (!where || !one) return go("note");
    show(one.says, parts.here(day, one.of === "row" ? { ...where, place: 0 } : where), el("h2", {}, "How much?"), parts.amount(one.amount, (fields, says) => note(one, where, fields, says, true)));
  },

  jobs: () => {
    const open = openJobs(), done = day.jobs.filter(one => !open.includes(one));
    const line = one => press([one.what, el("small", {}, `${one.when}${one.rows.length ? `; ${one.rows.length > 2 ? `${one.rows.slice(0, 2).join("; ")} and ${one.rows.length - 2} more` : one.rows.join("; ")}` : ""}`)], () => { chosen = one; go("job"); }, { className: done.includes(one) ? "done" : "" });
    show("Jobs of this week", open.length ? el("div", { className: "list" }, ...open.map(line)) : el("p", {}, day.jobs.length ? "All of this week’s jobs are ticked." : "No job is known for this week."), done.length ? [el("h2", {}, "Done"), el("div", { className: "list" }, ...done.map(line))] : null);
  },

  job: () => {
    const one = chosen;
    if (!one?.key) return go("jobs");
    const ticks = ticked(one);
    const tick = (row, says) => press(`${ticks.has(says) ? "✓ " : ""}${says}`, () => {
      if (ticks.has(says)) return;
      const at = row ? { block: row.block, row: row.row } : {};
      keep({ kind: "work", job: one.key, ...at, ...(one.cultivar ? { cultivar: one.cultivar } : {}) }, `${one.what}, ${says}: done`, () => fresh().then(draw));
    }, { "aria-pressed": String(ticks.has(says)) });
    const named = one.rows.map(says => [day.rows.find(row => says.startsWith(parts.rowName(row)) && !/^\d/.test(says.slice(parts.rowName(row).length))), says]).filter(([row]) => row);
    const of = named.length || !one.by_row ? named.map(([row]) => row) : day.rows;
    const rows = [...new Map(of.map(row => [parts.rowName(row), row])).entries()];
    show(one.what, el("p", {}, one.when), one.caution ? el("p", { className: "caution" }, one.caution) : null, one.how ? el("p", {}, one.how) : null, one.tools ? el("p", {}, `Take: ${one.tools}`) : null,
      el("h2", {}, "Done:"), el("div", { className: "list" }, tick(null, "all of it")),
      rows.length ? el("div", { className: "six" }, ...rows.map(([says, row]) => tick(row, says))) : null);
  },

  pick: () => {
    const picked = new Set(day.picks.map(one => one.cultivar));
    const line = one => press([one.cultivar, el("small", {}, one.says)], () => { chosen = { pick: one }; go("picked"); });
    const others = day.cultivars.filter(one => one.trees && !picked.has(one.name));
    show("Pick: which cultivar?", day.picks.length ? el("div", { className: "list" }, ...day.picks.map(line)) : el("p", {}, "Nothing is due this week."),
      others.length ? el("details", {}, el("summary", {}, "Another cultivar"), el("div", { className: "list" }, ...others.map(one => line({ cultivar: one.name, says: "not due this week", rows: [] })))) : null);
  },

  picked: () => {
    const one = chosen?.pick;
    if (!one) return go("pick");
    chosen.grade ??= "table";
    const at = day.cultivars.findIndex(line => line.name === one.cultivar);
    const rows = day.rows.filter(row => row.runs.some(run => run[2] === at));
    const grade = name => press(name, () => { chosen.grade = name; draw(); }, { "aria-pressed": String(chosen.grade === name) });
    const from = row => press(row ? parts.rowName(row) : "not said", () => { chosen.row = row; draw(); }, { "aria-pressed": String((chosen.row ?? null) === row) });
    show(one.cultivar, el("p", {}, one.says), el("p", { className: "caution" }, "Windfalls apart: never into raw juice. Ladder on firm ground."),
      el("h2", {}, "For"), el("div", { className: "four" }, ...["table", "kitchen", "press", "windfall"].map(grade)),
      el("details", { open: Boolean(chosen.row) }, el("summary", {}, `From row: ${chosen.row ? parts.rowName(chosen.row) : "not said"}`), el("div", { className: "six" }, from(null), ...rows.map(from))),
      el("h2", {}, "How many crates?"), parts.amount(day.crates, (fields, says) => {
        const row = chosen.row;
        keep({ kind: "pick", cultivar: one.cultivar, grade: chosen.grade, ...(row ? { block: row.block, row: row.row } : {}), ...fields }, `${one.cultivar}, ${says}, ${chosen.grade}`, () => go("pick"));
      }, () => `crates of ${day.crate}`));
  },

  unsent: () => {
    const open = queue.filter(one => !one.refused), refused = queue.filter(one => one.refused);
    show("Notes", el("p", {}, { in: "The desk is in reach.", away: "The desk is out of reach. Your notes lie on this phone and go as soon as the Wi-Fi is back.", out: "This phone is not let in (its evening has come, or it was sent away). Your notes stay here: read a new code at the desk and they go.", trouble: "The desk could not keep them. They stay here and go again in a moment." }[keeper.state]),
      why ? el("p", { className: "harm" }, why) : null,
      press("Send now", () => keeper.send(), { className: "go" }),
      open.length ? [el("h2", {}, `${plural(open.length, "note")} not yet sent`), el("ul", {}, ...open.map(one => el("li", {}, one.says)))] : null,
      refused.length ? [el("h2", {}, "Not taken by the desk"), ...refused.map(one => el("div", { className: "caution" }, el("p", {}, `${one.says}: ${one.refused}`), press("I have written it down, remove it", () => keeper.drop(one.number))))] : null,
      sent.length ? [el("h2", {}, "Sent"), el("ul", {}, ...sent.slice(-20).reverse().map(one => el("li", { className: one.undone ? "done" : "" }, one.says)))] : null);
  },
};

let why = "";
const note = (one, where, fields, says, back = false) => {
  const at = one.of === "row" ? { ...where, place: 0 } : where;
  const whole = `${parts.address(at)}: ${one.says}${says ? `, ${says}` : ""}`;
  keep({ kind: one.kind, ...placed(at), ...one.facts, ...fields }, whole, () => back ? go("note") : fresh());
};

const typed = () => {
  const box = el("input", { id: "typed", placeholder: "South 3 41", autocomplete: "off", "aria-label": "Address as on the label" });
  const says = el("p", { className: "harm", role: "alert" });
  const find = () => {
    const read = box.value.trim().toLowerCase().match(/^(.+?)[ ,]+(\d+)\D+(\d+)$/);
    const row = read && day.rows.find(one => one.block.toLowerCase() === read[1].replace(/,$/, "") && one.row === Number(read[2]));
    if (!row || Number(read[3]) < 1 || Number(read[3]) > parts.lastOf(row)) { says.textContent = "There is no such tree. Write it as on the label, or choose the row below."; return; }
    remember({ block: row.block, row: row.row, place: Number(read[3]) });
    go("tree");
  };
  box.addEventListener("keydown", event => { if (event.key === "Enter") find(); });
  return el("details", {}, el("summary", {}, "Type what the label says"), box, says, press("Find", find, { className: "go" }));
};

// Rows of a job ticked by anybody at the desk, or here.
const ticked = job => {
  const here = [...sent.filter(one => !one.undone), ...queue].filter(one => one.entry.kind === "work" && one.entry.job === job.key && !takenBack(one.identity));
  return new Set([...job.done_rows, ...(job.done ? ["all of it"] : []), ...here.map(one => one.entry.block ? `${one.entry.block} ${one.entry.row}` : "all of it")]);
};
const takenBack = id => queue.some(one => one.entry.corrects === id);
const openJobs = () => day.jobs.filter(one => !ticked(one).has("all of it"));
const fresh = async () => { queue = await keeper.all("queue"); sent = await keeper.all("sent"); };

const draw = () => {
  if (!day) return;
  (screens[location.hash.replace(/^#\/?/, "")] ?? screens[""])();
};
window.addEventListener("hashchange", () => {
  if (!location.hash || location.hash.startsWith("#/")) fresh().then(() => { draw(); scrollTo(0, 0); screenAt.focus({ preventScroll: true }); });
  else start();  // a code read while the page is open
});

keeper.on(found => {
  queue = found.queue;
  why = found.why;
  const open = queue.filter(one => !one.refused).length, refused = queue.length - open;
  const notes = open ? `${plural(open, "note")} not yet sent` : refused ? `${plural(refused, "note")} not taken` : "All notes sent";
  bar.className = refused || found.state === "out" ? "harm" : open ? "wait" : "";
  bar.replaceChildren(el("span", {}, notes), el("span", {}, { in: "✓ in reach", away: "✕ out of reach", out: "✕ not let in", trouble: "✕ trouble" }[found.state]));
  if (location.hash === "#/unsent") fresh().then(draw);
});
bar.addEventListener("click", () => go("unsent"));
document.getElementById("home").addEventListener("click", () => day ? go("") : start());

const join = async code => {
  history.replaceState(null, "", "/");  // the code is good once, and stays in no history
  show("Coming in", el("p", {}, "Asking the desk."));
  let answer;
  try { answer = await keeper.ask("/join", { code }); } catch { return show("Out of reach", el("p", { className: "harm" }, "The desk does not answer. Is this phone on the same Wi-Fi? A guests’ Wi-Fi often keeps machines apart.")); }
  const said = answer.headers.get("content-type")?.includes("json") ? await answer.json() : { says: await answer.text() };
  if (!answer.ok) return show("Not let in", el("p", { className: "harm" }, said.says));
  show("Say these at the desk", el("p", { className: "digits", role: "status" }, said.digits), el("p", {}, "Whoever sits at the desk types them in. Keep this page open."));
  for (;;) {
    await new Promise(well => setTimeout(well, 1200));
    try {
      const found = await (await keeper.ask("/joined")).json();
      if (found.state === "in") return begin();
      if (found.state === "out") return show("Not let in", el("p", { className: "harm" }, "The desk did not say yes in time. Read a new code there."));
    } catch { /* asked again */ }
  }
};

const begin = async () => {
  day = await keeper.carried();
  await fresh();
  if (day) draw();
  const found = await keeper.day();
  if (found) {
    const old = document.documentElement.dataset.shell !== found.shell && keeper.state === "in";
    if (old && sessionStorage.getItem("shell") !== found.shell) { sessionStorage.setItem("shell", found.shell); if (!mine || await own.renew()) return location.reload(); }
    const first = !day;
    day = found;
    if (first || !location.hash.replace(/^#\/?/, "")) draw();
  }
  if (!day) show("Not let in", el("p", {}, "Let the phone’s camera read the code at the desk (page Phones)."), keeper.state === "away" ? el("p", { className: "harm" }, "The desk does not answer now.") : null);
  keeper.send();
};

const start = async () => {
  if (mine) own.begun.then(() => { if (day && !location.hash.replace(/^#\/?/, "")) draw(); });
  if (localStorage.getItem("theme")) document.documentElement.dataset.theme = localStorage.getItem("theme");
  try { await keeper.open(); } catch {
    return show("Cannot keep notes", el("p", { className: "harm" }, "This browser keeps nothing. Open the page in an ordinary window, not a private one."));
  }
  await keeper.tell();
  const code = location.hash.match(/^#([\w-]{20,})$/);
  return code ? join(code[1]) : begin();
};

const carry = async () => { if (day) day = await keeper.day() ?? day; };
setInterval(() => { if (queue.some(one => !one.refused)) keeper.send(); else if (keeper.state !== "in") carry(); }, 10000);
setInterval(() => { if (document.visibilityState === "visible") carry(); }, 300000);
for (const name of ["online", "pageshow", "visibilitychange"]) window.addEventListener(name, () => { if (document.visibilityState === "visible") keeper.send(); });
window.addEventListener("beforeunload", event => { if (mine && own.kept) return; if (keeper.state === "away" || queue.some(one => !one.refused)) event.preventDefault(); });
start();
