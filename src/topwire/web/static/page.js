"use strict";
// The key “/” leads to the finding of a tree, unless somebody is writing.
document.addEventListener("keydown", (event) => {
  const find = document.getElementById("find");
  const writing = /^(INPUT|TEXTAREA|SELECT)$/.test(event.target.tagName);
  if (event.key === "/" && find && !writing && !event.ctrlKey && !event.metaKey) {
    event.preventDefault();
    find.focus();
  }
});
// On a narrow screen the list of pages is a strip: the page one is on stands in sight.
const here = document.querySelector(".pages [aria-current]");
if (here) {
  const strip = here.parentElement;
  strip.scrollLeft = here.offsetLeft - (strip.clientWidth - here.clientWidth) / 2;
}
// While a run is at work elsewhere, the band above the page follows it.
const bands = document.getElementById("bands");
if (bands && bands.querySelector("a[href='/run']")) {
  const follow = async () => {
    try {
      const answer = await fetch("/run/band", { headers: { accept: "text/html" } });
      if (answer.ok) bands.innerHTML = await answer.text();
    } catch { /* the server is gone: what is on the page stays */ }
    if (bands.querySelector("a[href='/run']")) setTimeout(follow, 2000);
  };
  setTimeout(follow, 2000);
}
// Paper shows every table, also where the browser does not open what is folded by itself.
addEventListener("beforeprint", () => {
  for (const fold of document.querySelectorAll("details.fold:not([open])")) { fold.open = true; fold.dataset.shut = "yes"; }
});
addEventListener("afterprint", () => {
  for (const fold of document.querySelectorAll("details[data-shut]")) { fold.open = false; delete fold.dataset.shut; }
});
// What was typed and not sent is not left without a word; a form that carries it along (data-fills) may go.
let typedIn = null;
for (const form of document.querySelectorAll("form.settings, #text-form")) form.addEventListener("input", () => { typedIn = form; });
addEventListener("submit", (event) => { if (event.target === typedIn || event.target.dataset.fills) typedIn = null; });
addEventListener("beforeunload", (event) => { if (typedIn) event.preventDefault(); });
