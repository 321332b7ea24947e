// Serves what the reader has kept for reading without a network. It fetches and keeps
// nothing itself: assets/offline.js does, a whole design at a time, each into a store of
// its own. A design that is kept is read from there, network or not, so that no page is
// ever put together from two revisions; it changes when the reader asks for the newer one.

const TOP = new URL("./", location).pathname;
const PREFIX = `plansgen 1 ${TOP} `; // offline.js has the same
const WHOLE = new URL("offline-whole", location).href; // the last thing put into a store
const PATIENCE = 4000; // ms for a page of the library before the kept one is shown

const origin = new Map(); // page being read -> the store it came from, "" for the network

addEventListener("install", () => skipWaiting());
addEventListener("activate", (event) => event.waitUntil(clients.claim()));

addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== location.origin) return;
  // offline.js asks the network itself, and says so in this way
  if (request.cache === "no-store" || !address.pathname.startsWith(TOP)) return;
  event.respondWith(answer(event, address));
});

async function answer(event, address) {
  const { request } = event;
  if (request.mode === "navigate") return page(event, address);
  const name = await storeOf(event.clientId);
  if (name !== "") {
    const kept = (await inStore(name, address)) ?? (await inStore(await storeFor(address), address));
    if (kept) return kept;
  }
  try {
    return await fetch(request);
  } catch (error) {
    const kept = name === "" ? null : await inStore(await wholeStore(""), address);
    if (kept) return kept;
    throw error;
  }
}

async function page(event, address) {
  const design = await storeFor(address);
  let found = await inStore(design, address);
  let from = design;
  if (!found) {
    const library = await wholeStore("");
    const kept = await inStore(library, address);
    try {
      found = await (kept ? soon(event.request) : fetch(event.request));
      from = "";
    } catch {
      found = kept;
      from = library;
    }
  }
  origin.set(event.resultingClientId, from);
  event.waitUntil(tidy());
  return found ?? notKept();
}

/** Let go of older stores that no open page came from. */
async function tidy() {
  const open = await clients.matchAll({ includeUncontrolled: true });
  const used = new Set(open.map((client) => origin.get(client.id)));
  for (const name of await caches.keys()) {
    if (!name.startsWith(PREFIX) || used.has(name)) continue;
    const newest = await wholeStore(name.slice(PREFIX.length).split("@")[0]);
    const whole = await caches.match(WHOLE, { cacheName: name });
    if (whole && name !== newest) await caches.delete(name);
  }
}

/** The network's answer, unless it takes too long. */
function soon(request) {
  const late = new Promise((_, refuse) => setTimeout(refuse, PATIENCE, new Error("late")));
  return Promise.race([fetch(request), late]);
}

/** The store that a page's own files come from; "" for the network, null when not known. */
async function storeOf(id) {
  if (origin.has(id)) return origin.get(id);
  const client = id ? await clients.get(id) : null; // this worker was restarted meanwhile
  return client ? storeFor(new URL(client.url)) : null;
}

/** The store of the design that an address belongs to, if it is kept. */
async function storeFor(address) {
  const found = address.pathname.slice(TOP.length).match(/^designs\/([^/]+)\//);
  return found ? wholeStore(decodeURIComponent(found[1])) : null;
}

/** The newest store of a design ("" for the library's pages) that holds all it should. */
async function wholeStore(slug) {
  const names = (await caches.keys()).filter((name) => name.startsWith(`${PREFIX}${slug}@`));
  for (const name of names.reverse()) {
    if (await caches.match(WHOLE, { cacheName: name })) return name;
  }
  return null;
}

async function inStore(name, address) {
  if (!name || !(await caches.has(name))) return null;
  const plain = address.origin + address.pathname;
  const names = plain.endsWith("/") ? [`${plain}index.html`] : [plain, `${plain}.html`];
  for (const one of names) {
    const found = await caches.match(one, { cacheName: name });
    if (found) return found;
  }
  return null;
}

/** A page that needs nothing else: what is kept here, and that this one is not. */
async function notKept() {
  const items = [];
  for (const name of await caches.keys()) {
    const slug = name.startsWith(PREFIX) ? name.slice(PREFIX.length).split("@")[0] : "";
    const whole = slug && (await caches.match(WHOLE, { cacheName: name }));
    if (!whole) continue;
    const title = (await whole.json()).name.replace(/[&<>"]/g, (sign) => `&#${sign.charCodeAt(0)};`);
    items.push(`<li><a href="${TOP}designs/${encodeURIComponent(slug)}/index.html">${title}</a></li>`);
  }
  const html = `<!doctype html><html lang="en"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1"><title>Not kept here</title>
<style>:root{color-scheme:light dark}body{max-width:40rem;margin:2rem auto;padding:0 1rem;
font:1.1rem/1.5 system-ui,sans-serif}li a{display:inline-block;padding:.6rem 0}</style></head>
<body><main><h1>This page is not kept on this device</h1>
<p>There is no network just now. Try again when there is one. To have a design in the workshop or
at the field, open it while there is a network and keep it for reading without one.</p>
<h2>Kept on this device</h2><ul>${items.join("") || "<li>No design yet.</li>"}</ul></main></body></html>`;
  return new Response(html, {
    status: 503,
    headers: { "Content-Type": "text/html; charset=utf-8" },
  });
}
