"use strict";
// Shows each step as it ends, without the page going blank.
const run = document.getElementById("run");
const look = async () => {
  try {
    const answer = await fetch("/run/state");
    if (answer.ok) {
      const text = await answer.text();
      const focused = run.contains(document.activeElement) && document.activeElement.tagName === "BUTTON";
      run.innerHTML = text;
      if (focused) run.querySelector("button")?.focus();
      if (answer.headers.get("x-at-work") !== "yes") return location.reload();
    }
  } catch { /* asked again below */ }
  setTimeout(look, 700);
};
if (run && run.dataset.atWork) setTimeout(look, 500);
