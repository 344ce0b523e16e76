"use strict";
// A job: what is known of one car that came in. It is kept in this browser with every change.
const Jobs = (() => {
  const PREFIX = "falseair.job.";
  let keeps = true;
  const names = () => { try { return Object.keys(localStorage).filter((key) => key.startsWith(PREFIX)); } catch { return []; } };
  const make = () => ({
    id: `${Date.now().toString(36)}${Math.floor(Math.random() * 1e6).toString(36)}`,
    made: new Date().toISOString(), changed: new Date().toISOString(), step: "car", trail: [], seconds: 0,
    title: "", car: null, twin: null, more: {}, plate: { choices: {} }, air: {}, complaint: [], note: "", codesRead: false, codes: [],
    condition: "idle", conditions: [], log: null, mapping: {}, pairs: false,
    checks: [], holes: [], skipped: [], done: [], test: null, gauges: [],
    part: { which: "gap" }, repair: { rows: [] }, after: { conditions: [] }, head: {}, photos: [],
  });
  const save = (job) => {
    job.changed = new Date().toISOString();
    try { localStorage.setItem(PREFIX + job.id, JSON.stringify(job)); } catch { keeps = false; }
  };
  const load = (key) => { try { return { ...make(), ...JSON.parse(localStorage.getItem(key)) }; } catch { return null; } };
  const list = () => names().map(load).filter(Boolean).sort((a, b) => b.changed.localeCompare(a.changed));
  const remove = (job) => { localStorage.removeItem(PREFIX + job.id); Big.remove(job.id); };
  return { make, save, list, remove, keeps: () => keeps };
})();

// Logs and photos, which are too large for where jobs are kept.
const Big = (() => {
  const memory = new Map();
  const base = new Promise((done) => {
    try {
      const asked = indexedDB.open("falseair", 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("big");
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => done(null);
    } catch { done(null); }
  });
  const store = async (mode, act) => {
    const db = await base;
    return db ? new Promise((done) => {
      const asked = act(db.transaction("big", mode).objectStore("big"));
      asked.onsuccess = () => done(asked.result);
      asked.onerror = () => done(undefined);
    }) : undefined;
  };
  const put = async (id, name, text) => { memory.set(`${id}/${name}`, text); await store("readwrite", (all) => all.put(text, `${id}/${name}`)); };
  const get = async (id, name) => memory.get(`${id}/${name}`) ?? store("readonly", (all) => all.get(`${id}/${name}`));
  const remove = (id) => {
    for (const key of [...memory.keys()]) if (key.startsWith(`${id}/`)) memory.delete(key);
    return store("readwrite", (all) => all.delete(IDBKeyRange.bound(`${id}/`, `${id}/\uffff`)));
  };
  return { put, get, remove };
})();
