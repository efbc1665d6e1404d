"use strict";
// Checks the text while it is written; a press on a fault leads to its line.
const form = document.getElementById("text-form");
const text = document.getElementById("text");
const faults = document.getElementById("faults");
let waiting = 0, asked = 0;
const toLine = (line) => {
  const lines = text.value.split("\n");
  const start = lines.slice(0, line - 1).join("\n").length + (line > 1 ? 1 : 0);
  text.focus();
  text.setSelectionRange(start, start + (lines[line - 1] || "").length);
  text.scrollTop = (line - 5) * parseFloat(getComputedStyle(text).lineHeight);
};
const lead = () => {
  for (const item of faults.querySelectorAll("li[data-line]")) {
    const press = document.createElement("button");
    press.type = "button";
    press.textContent = `line ${item.dataset.line}`;
    press.addEventListener("click", () => toLine(Number(item.dataset.line)));
    item.prepend(press, " ");
  }
};
const check = async () => {
  const mine = ++asked;
  const sent = new FormData(form);
  let found;
  try {
    const answer = await fetch("/plan/check", { method: "POST", body: new URLSearchParams(sent) });
    if (!answer.ok) return;
    found = await answer.json();
  } catch { return; }
  if (mine !== asked) return;
  faults.className = found.length ? "told harm" : "told";
  faults.replaceChildren();
  if (!found.length) { faults.textContent = "Nothing is wrong with it."; return; }
  const list = document.createElement("ul");
  for (const one of found) {
    const item = document.createElement("li");
    item.textContent = one.says;
    if (one.line) item.dataset.line = one.line;
    list.append(item);
  }
  faults.append(list);
  lead();
};
text.addEventListener("input", () => { clearTimeout(waiting); waiting = setTimeout(check, 500); });
lead();
