"use strict";
// A phone that waits, or has been let in elsewhere, shows without a press. What is being typed stays.
const place = document.getElementById("phones");
let before = null;
const look = async () => {
  try {
    const answer = await fetch("/phones/state");
    const state = answer.headers.get("x-state");
    if (answer.ok && before !== null && state !== before && !place.querySelector("input:focus")) {
      place.innerHTML = await answer.text();
      place.querySelector("[name=digits]")?.focus();
    }
    if (answer.ok && !place.querySelector("input:focus")) before = state;
    else if (before === null) before = state;
  } catch { /* asked again below */ }
  setTimeout(look, 1000);
};
if (place) look();
