// Keeps a design for reading without a network: every file of its list is fetched and
// compared with the list before the store counts. sw.js then serves from the store.

(() => {
  const PREFIX = `plansgen 1 ${__md_scope.pathname} `; // sw.js has the same
  const WHOLE = new URL("offline-whole", __md_scope).href;
  const AT_ONCE = 6; // files fetched side by side

  const here = location.pathname.startsWith(__md_scope.pathname)
    ? location.pathname.slice(__md_scope.pathname.length)
    : "";
  const slug = decodeURIComponent(here.match(/^designs\/([^/]+)\//)?.[1] ?? "");
  const preview = document.querySelector('script[src^="/_plansgen/"]');
  const able = "serviceWorker" in navigator && "caches" in window && crypto?.subtle && !preview;

  const megabytes = (bytes) => `${Math.max(bytes / 1e6, 0.1).toFixed(1)}\u00a0MB`;
  const listAddress = (of) =>
    new URL(of ? `designs/${encodeURIComponent(of)}/offline.json` : "offline.json", __md_scope);

  // --- the stores ----------------------------------------------------------------------

  const stores = async (of) =>
    (await caches.keys()).filter((name) => name.startsWith(of === null ? PREFIX : `${PREFIX}${of}@`));

  /** The list of what is kept of a design, newest first; null when it is not kept whole. */
  async function kept(of) {
    for (const name of (await stores(of)).reverse()) {
      const list = await caches.match(WHOLE, { cacheName: name });
      if (list) return list.json();
    }
    return null;
  }

  async function newest(of) {
    const answer = await fetch(listAddress(of), { cache: "no-store" });
    if (!answer.ok) throw new Error(`${answer.status}`);
    return answer.json();
  }

  class Changed extends Error {}

  async function sum(data) {
    const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", data));
    return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  }

  async function fetchInto(store, file) {
    const address = new URL(file.url.split("/").map(encodeURIComponent).join("/"), __md_scope);
    const answer = await fetch(address, { cache: "no-store" });
    if (!answer.ok) throw new Changed(file.url);
    const data = await answer.arrayBuffer();
    if (data.byteLength !== file.bytes || (await sum(data)) !== file.sha256) {
      throw new Changed(file.url);
    }
    // a new answer: one that was redirected may not be given for a page
    const type = answer.headers.get("Content-Type") ?? "application/octet-stream";
    await store.put(address, new Response(data, { headers: { "Content-Type": type } }));
  }

  /** Fetch all of a list into a store of its own; it counts once the list itself is in it. */
  async function keep(of, list, tell = () => {}) {
    const name = `${PREFIX}${of}@${list.stamp}`;
    for (const other of await stores(of)) {
      // begun once and never finished; whole ones go when nobody reads them (sw.js)
      const whole = await caches.match(WHOLE, { cacheName: other });
      if (other === name || !whole) await caches.delete(other);
    }
    const store = await caches.open(name);
    const waiting = [...list.files];
    let done = 0;
    let wrong = null;
    const work = async () => {
      for (let file = waiting.shift(); file && !wrong; file = waiting.shift()) {
        try {
          await fetchInto(store, file);
        } catch (error) {
          wrong ??= error;
        }
        done += file.bytes;
        if (!wrong) tell(done / list.bytes);
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, work));
    try {
      if (wrong) throw wrong;
      await store.put(WHOLE, new Response(JSON.stringify(list)));
    } catch (error) {
      await caches.delete(name);
      throw error;
    }
  }

  async function remove(of) {
    for (const name of await stores(of)) await caches.delete(name);
    const left = (await stores(null)).filter((name) => !name.startsWith(`${PREFIX}@`));
    if (left.length) return;
    for (const name of await stores("")) await caches.delete(name);
    const worker = await navigator.serviceWorker.getRegistration(__md_scope);
    await worker?.unregister();
  }

  /** The library's own pages come along, and are renewed quietly. */
  async function keepLibrary() {
    const list = await newest("");
    if ((await kept(""))?.stamp !== list.stamp) await keep("", list);
  }

  async function inWords(error, list) {
    if (error.name === "QuotaExceededError") {
      const { quota = 0, usage = 0 } = (await navigator.storage?.estimate?.()) ?? {};
      return `This device has no room for it: ${megabytes(list.bytes)} are needed, ${megabytes(Math.max(quota - usage, 0))} are free for this site. Nothing was kept.`;
    }
    if (error instanceof Changed) {
      return `What arrived is not what the library lists (${error.message}); perhaps it is being changed at this moment. Nothing was kept or replaced. Try again in a few minutes.`;
    }
    if (error instanceof TypeError) {
      return "The network was lost before everything had arrived. Nothing was kept or replaced. Try again.";
    }
    return `The browser refused to keep it (${error.message || error.name}); a private window, for one, keeps nothing. Nothing was kept.`;
  }

  // --- the page ------------------------------------------------------------------------

  const element = (tag, text, attributes = {}) => pgMake(tag, attributes, text);
  const button = (text, act) => pgButton(text, act, { class: "pg-button" });

  /** Fetch and keep, telling how far it is. True when all is there. */
  async function keepAndTell(list, status) {
    try {
      await navigator.serviceWorker.register(new URL("sw.js", __md_scope));
      navigator.storage?.persist?.().catch(() => {});
      await keep(slug, list, (share) => {
        status.textContent = `Fetching: ${Math.round(share * 100)} %`;
      });
      await keepLibrary();
      return true;
    } catch (error) {
      status.textContent = await inWords(error, list);
      return false;
    }
  }

  async function fillBox(box) {
    const text = element("p", "");
    const status = element("p", "", { role: "status" });
    box.replaceChildren(box.querySelector("h2"), text, status);
    box.hidden = false;
    if (location.protocol === "file:") {
      text.textContent = "You are reading from a folder: it needs no network as it is.";
      return;
    }
    if (!able) {
      text.textContent = preview
        ? "In the preview nothing is kept; the published library offers it here."
        : "This browser keeps no pages from here: it does so only for addresses that begin with https, and not in every private window.";
      return;
    }
    const show = async () => {
      box.querySelectorAll("button").forEach((old) => old.remove());
      const mine = await kept(slug);
      if (mine) {
        text.textContent = `Kept on this device: revision ${mine.revision}, ${mine.date}; ${megabytes(mine.bytes)}. It opens without a network.`;
        status.before(
          button("Remove it from this device", async () => {
            await remove(slug);
            status.textContent = "Removed from this device.";
            await show();
            box.querySelector("button")?.focus();
          }),
        );
        return;
      }
      let list;
      let bytes;
      try {
        list = await newest(slug);
        bytes = list.bytes + ((await kept("")) ? 0 : (await newest("")).bytes);
      } catch {
        text.textContent = "There is no network just now, and this design is not kept on this device.";
        return;
      }
      text.textContent = `All pages, drawings and patterns of this design and the library's own pages: ${megabytes(bytes)} will be fetched, and stay on this device until you remove them.`;
      const start = button("Keep this design for reading without a network", async () => {
        start.disabled = true;
        if (await keepAndTell(list, status)) {
          status.textContent = "Kept.";
          await show();
          box.querySelector("button")?.focus();
        } else start.disabled = false;
      });
      status.before(start);
    };
    await show();
  }

  /** On a page of a kept design: say when the library has a newer revision. */
  async function announce(mine) {
    const list = await newest(slug);
    if (list.stamp === mine.stamp) return;
    const same = list.revision === mine.revision;
    const bar = element("div", "", { class: "pg-banner pg-newer" });
    const status = element("p", "", { role: "status" });
    status.textContent = same
      ? `These pages were made anew in the library (still revision ${list.revision}); you are reading those kept on this device.`
      : `A newer revision is there: ${list.revision}, ${list.date}. You are reading revision ${mine.revision}, kept on this device.`;
    const read = button(`Read it now (${megabytes(list.bytes)})`, async () => {
      read.disabled = true;
      if (await keepAndTell(list, status)) location.reload();
      else read.disabled = false;
    });
    bar.append(status, read);
    document.querySelector("article").prepend(bar);
  }

  async function markCards() {
    for (const card of document.querySelectorAll(".pg-card")) {
      const of = card.querySelector("h2 a")?.pathname.match(/\/designs\/([^/]+)\//)?.[1];
      if (!of || !(await kept(decodeURIComponent(of)))) continue;
      card.append(element("span", "Kept on this device", { class: "pg-badge", "data-tone": "plain" }));
    }
  }

  async function start() {
    const box = document.querySelector(".pg-offline");
    if (box && slug) await fillBox(box);
    if (!able || location.protocol === "file:" || !(await stores(null)).length) return;
    await markCards();
    const mine = slug && (await kept(slug));
    try {
      if (mine) await announce(mine);
      if (await kept("")) await keepLibrary();
    } catch {
      // no network, or no room for the renewed pages: what is kept goes on serving
    }
  }

  const begin = () => start().catch(() => {});
  if (document.readyState === "complete") begin();
  else addEventListener("load", begin);
})();
