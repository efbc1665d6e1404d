"use strict";
// What a phone keeps: notes until the server has them on its disk, the day's rows, and what was sent. A note has its
// own identity from the moment it is made, so it may be sent as often as it takes.
const keeper = (() => {
  const BATCH = 40, PATIENCE = 12000, SENT_KEPT = 300;
  let open_ = null, sending = false, again = false, state = "away", why = "";
  const listeners = [];

  const open = () => open_ ??= new Promise((well, ill) => {
    const asked = indexedDB.open("topwire-phone", 1);
    asked.onupgradeneeded = () => {
      const base = asked.result;
      base.createObjectStore("queue", { keyPath: "number", autoIncrement: true }).createIndex("identity", "identity", { unique: true });
      base.createObjectStore("sent", { keyPath: "number", autoIncrement: true }).createIndex("identity", "identity", { unique: true });
      base.createObjectStore("day");
    };
    asked.onsuccess = () => well(asked.result);
    asked.onerror = () => ill(asked.error);
  });

  // All of `work` is kept or none of it; the promise is kept when it lies on the phone's disk.
  const within = async (names, mode, work) => {
    const base = await open();
    return new Promise((well, ill) => {
      const act = mode === "readwrite" ? base.transaction(names, mode, { durability: "strict" }) : base.transaction(names, mode);
      let found;
      act.oncomplete = () => well(found);
      act.onerror = act.onabort = () => ill(act.error);
      work(name => act.objectStore(name), value => { found = value; });
    });
  };
  const all = name => within([name], "readonly", (store, give) => {
    store(name).getAll().onsuccess = event => give(event.target.result);
  });

  // Over plain http a browser offers no randomUUID, but random values.
  const identity = () => {
    const signs = crypto.getRandomValues(new Uint8Array(16));
    signs[6] = signs[6] & 15 | 64; signs[8] = signs[8] & 63 | 128;
    const hex = [...signs].map(sign => sign.toString(16).padStart(2, "0")).join("");
    return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
  };

  // The server's clock, where it has been heard: a phone's may be wrong.
  const now = () => new Date(Date.now() + Number(localStorage.getItem("skew") || 0));
  const two = number => String(number).padStart(2, "0");
  const dayOf = when => `${when.getFullYear()}-${two(when.getMonth() + 1)}-${two(when.getDate())}`;
  const stamp = when => {
    const off = -when.getTimezoneOffset(), far = Math.abs(off);
    return `${dayOf(when)}T${two(when.getHours())}:${two(when.getMinutes())}:${two(when.getSeconds())}${off < 0 ? "-" : "+"}${two(far / 60 | 0)}:${two(far % 60)}`;
  };

  const tell = async () => { const queue = await all("queue"); listeners.forEach(one => one({ queue, state, why })); };

  const keep = async (entry, says) => {
    const when = now();
    const whole = { ...entry, identity: identity(), day: dayOf(when), noted: stamp(when) };
    await within(["queue"], "readwrite", store => store("queue").add({ identity: whole.identity, entry: whole, says, tried: 0, refused: "" }));
    await tell();
    send();
    return whole.identity;
  };

  // A note that has never left the phone is taken out; one that has may be at the desk already, so it is taken back there.
  const undo = async id => {
    const when = now();
    await within(["queue", "sent"], "readwrite", store => {
      store("queue").index("identity").get(id).onsuccess = event => {
        const found = event.target.result;
        if (found && (!found.tried || found.refused)) { store("queue").delete(found.number); return; }
        const back = { kind: "undo", corrects: id, identity: identity(), day: dayOf(when), noted: stamp(when) };
        store("queue").add({ identity: back.identity, entry: back, says: "taken back", tried: 0, refused: "" });
        store("sent").index("identity").get(id).onsuccess = at => {
          if (at.target.result) store("sent").put({ ...at.target.result, undone: true });
        };
      };
    });
    await tell();
    send();
  };

  const drop = number => within(["queue"], "readwrite", store => store("queue").delete(number)).then(tell);

  const ask = async (path, body) => {
    const stop = new AbortController(), timer = setTimeout(() => stop.abort(), PATIENCE);
    try {
      return await fetch(path, body === undefined ? { signal: stop.signal, cache: "no-store" } : {
        method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body), signal: stop.signal, cache: "no-store",
      });
    } finally { clearTimeout(timer); }
  };

  const batch = () => within(["queue"], "readwrite", (store, give) => {
    store("queue").getAll().onsuccess = event => {
      const some = event.target.result.filter(one => !one.refused).slice(0, BATCH);
      some.forEach(one => store("queue").put({ ...one, tried: one.tried + 1 }));  // marked before it leaves
      give(some);
    };
  });

  const settle = (some, answer) => within(["queue", "sent"], "readwrite", store => {
    for (const one of some) {
      if (answer.kept.includes(one.identity)) {
        store("queue").delete(one.number);
        if (one.entry.kind !== "undo") {
          const { number, ...rest } = one;
          store("sent").index("identity").getKey(one.identity).onsuccess = event => {
            if (event.target.result === undefined) store("sent").add({ ...rest, undone: false });
          };
        }
      } else if (one.identity in answer.refused) {
        store("queue").put({ ...one, tried: one.tried + 1, refused: answer.refused[one.identity] });
      }
    }
    store("sent").getAllKeys().onsuccess = event => event.target.result.slice(0, -SENT_KEPT).forEach(key => store("sent").delete(key));
  });

  const send = async () => {
    if (sending) { again = true; return; }
    sending = true;
    try {
      do {
        again = false;
        for (;;) {
          const some = await batch();
          if (!some.length) break;
          const answer = await ask("/notes", some.map(one => one.entry));
          if (answer.status === 401) { state = "out"; why = ""; break; }
          if (!answer.ok) { state = "trouble"; why = (await answer.text()).slice(0, 200); break; }
          const said = await answer.json();
          await settle(some, said);
          state = "in"; why = "";
          if (!some.some(one => said.kept.includes(one.identity) || one.identity in said.refused)) break;
        }
      } while (again);
    } catch { state = "away"; } finally { sending = false; }
    await tell();
  };

  // The day from the server; where it is out of reach, the one carried.
  const day = async () => {
    try {
      const answer = await ask("/day.json");
      if (answer.status === 401) state = "out";
      else if (answer.ok) {
        const found = await answer.json();
        state = "in";
        localStorage.setItem("skew", Math.abs(found.now - Date.now()) > 120000 ? found.now - Date.now() : 0);
        await within(["day"], "readwrite", store => store("day").put(found, "now"));
      } else state = "trouble";
    } catch { state = "away"; }
    await tell();
    return carried();
  };
  const carried = () => within(["day"], "readonly", (store, give) => {
    store("day").get("now").onsuccess = event => give(event.target.result);
  });

  return { open, keep, undo, drop, send, ask, day, carried, tell, now, all, on: listener => listeners.push(listener), get state() { return state; } };
})();
