"use strict";
// Keeps the whole application on the phone, so that it starts without the Wi-Fi. Rows and notes are kept by the page
// itself; what is asked of the desk is never answered from here. MARK and KEPT stand in the lines above.
const STORE = `shell-${MARK}`;

self.addEventListener("install", event => event.waitUntil((async () => {
  const store = await caches.open(STORE);
  await store.addAll(KEPT.map(path => new Request(path, { cache: "reload" })));  // all of it or nothing
  await self.skipWaiting();
})()));

self.addEventListener("activate", event => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name !== STORE) await caches.delete(name);
  await self.clients.claim();
})()));

self.addEventListener("fetch", event => {
  const asked = new URL(event.request.url);
  if (event.request.method !== "GET" || asked.origin !== location.origin) return;
  const path = event.request.mode === "navigate" ? "/" : asked.pathname + asked.search;
  if (!KEPT.includes(path)) return;
  event.respondWith((async () => await (await caches.open(STORE)).match(path) ?? fetch(event.request))());
});
