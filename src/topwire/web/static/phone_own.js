"use strict";
// The grower's own phone, over https: the application is kept on the phone and renewed when the desk has another.
const own = (() => {
  let known = null, kept = false, renewed = () => {};
  const newer = new Promise(well => { renewed = well; });  // another application has taken over since this page was loaded
  const begin = async () => {
    navigator.storage?.persist?.().catch(() => false);  // asks that nothing be cleared
    const before = navigator.serviceWorker.controller;
    navigator.serviceWorker.addEventListener("controllerchange", () => { if (before) renewed(true); });
    try {
      known = await navigator.serviceWorker.register("/worker.js", { updateViaCache: "none" });
    } catch {  // the desk is away, or the certificate is not trusted
      known = await navigator.serviceWorker.getRegistration() ?? null;
    }
    if (known) { await navigator.serviceWorker.ready; kept = true; }
  };
  const begun = begin();
  // Taken over first, then loaded from the phone.
  const renew = async () => {
    await begun;
    if (!known) return false;
    try { await known.update(); } catch { return false; }
    return Promise.race([newer, new Promise(well => setTimeout(() => well(false), 10000))]);
  };
  return { renew, begun, get kept() { return kept; } };
})();
