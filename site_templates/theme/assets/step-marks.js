// Ticks and waits of the build steps, kept on the device for each design and revision.
// The page is complete without it; step-mode.js shows one step a screen.

const pgMarks = (() => {
  const start = document.querySelector(".pg-stepmode");
  if (!start) return null;
  const KEY = start.dataset.store;
  const MINUTE = 60_000; // ms
  const LONGEST = 20_160 * MINUTE; // the longest wait that a design file may name

  const steps = [...document.querySelectorAll(".pg-step")].map((section, index) => {
    const heading = section.querySelector("h2");
    return {
      section,
      heading,
      key: heading.id,
      number: index + 1,
      title: heading.textContent.trim(),
      minutes: Number(section.dataset.minutes),
      wait: Number(section.dataset.wait ?? 0) * MINUTE,
      done: `${heading.id} done`,
    };
  });
  const byKey = new Map(steps.map((step) => [step.key, step]));

  // --- what is kept -------------------------------------------------------------------

  const names = new Set(); // of every box on this page
  let memory = null; // stands in where the browser keeps nothing

  /** What the store holds, without anything odd or of another page. */
  function cleaned(given) {
    const state = { ticks: {}, waits: {}, last: null, on: false };
    if (typeof given !== "object" || given === null) return state;
    for (const name of names) {
      if (Object.hasOwn(given.ticks ?? {}, name) && given.ticks[name] === true) state.ticks[name] = true;
    }
    for (const step of steps) {
      const end = Object.hasOwn(given.waits ?? {}, step.key) ? given.waits[step.key] : null;
      if (step.wait && Number.isFinite(end) && end > 0 && end < Date.now() + LONGEST) {
        state.waits[step.key] = end;
      }
    }
    if (byKey.has(given.last)) state.last = given.last;
    state.on = given.on === true;
    return state;
  }

  const read = () => cleaned(memory ?? __md_get(KEY));

  function change(edit) {
    const state = read(); // afresh: another window may have changed it
    edit(state);
    __md_set(KEY, state);
    memory = JSON.stringify(__md_get(KEY)) === JSON.stringify(state) ? null : state;
    show();
  }

  function reset() {
    change((state) => Object.assign(state, { ticks: {}, waits: {}, last: null }));
  }

  // --- ticks --------------------------------------------------------------------------

  const boxes = [];

  function tickBox(name) {
    names.add(name);
    const box = pgMake("input", { type: "checkbox", autocomplete: "off" });
    box.addEventListener("change", () => {
      change((state) => {
        if (box.checked) state.ticks[name] = true;
        else delete state.ticks[name];
      });
    });
    boxes.push({ box, name });
    return box;
  }

  for (const step of steps) {
    for (const place of step.section.querySelectorAll("[data-tick]")) {
      const box = tickBox(`${step.key} ${place.dataset.tick}`);
      const link = place.querySelector("a");
      if (link) {
        box.setAttribute("aria-label", `Ready: ${link.textContent.trim()}`);
        place.prepend(pgMake("label", { class: "pg-tick" }, box));
      } else {
        place.replaceChildren(pgMake("label", { class: "pg-tick" }, box, pgMake("span", {}, ...place.childNodes)));
      }
    }
  }

  const isDone = (step, state = read()) => state.ticks[step.done] === true;

  /** How far the whole build is; minutes: at the bench, of the steps still to do. */
  function progress() {
    const state = read();
    const left = steps.filter((step) => !isDone(step, state));
    return {
      done: steps.length - left.length,
      of: steps.length,
      minutes: left.reduce((sum, step) => sum + step.minutes, 0),
    };
  }

  // --- waits --------------------------------------------------------------------------

  /** A time to go, in words: the smaller it is the finer. [ms] */
  function duration(time) {
    const seconds = Math.ceil(Math.max(time, 0) / 1000);
    const minutes = Math.floor(seconds / 60);
    const hours = Math.floor(minutes / 60);
    const parts = hours ? [[hours, "h"], [minutes % 60, "min"]] : [[minutes, "min"], [seconds % 60, "s"]];
    return parts.filter(([number]) => number).map((part) => part.join("\u00a0")).join(" ") || "0\u00a0s";
  }
  const clock = (time) =>
    new Date(time).toLocaleString(undefined, { weekday: "short", hour: "2-digit", minute: "2-digit" });

  /** Waits under way, the one that ends first at the front; left: 0 or less when over. [ms] */
  function waits(state = read()) {
    return Object.entries(state.waits)
      .map(([key, end]) => ({ step: byKey.get(key), end, left: end - Date.now() }))
      .sort((a, b) => a.end - b.end);
  }
  const stopWait = (step) => change((state) => delete state.waits[step.key]);

  for (const step of steps.filter(({ wait }) => wait)) {
    const left = pgMake("p", { class: "pg-timer-left", role: "timer", "aria-label": `Wait of step ${step.number}` });
    const act = pgButton("", () => {
      if (step.key in read().waits) stopWait(step);
      else change((state) => { state.waits[step.key] = Date.now() + step.wait; });
    });
    step.section.querySelector(".pg-wait").after(pgMake("div", { class: "pg-timer pg-screen" }, left, act));
    step.timer = { left, act };
  }

  // Said aloud and shown on top of everything, until it has been seen.
  const alarm = pgMake("div", { class: "pg-alarm pg-screen", role: "alert", ".hidden": true });
  start.before(alarm);
  const title = document.title;
  let told = "";

  function showAlarm(over) {
    const now = over.map(({ step, end }) => `${step.key} ${end}`).join();
    if (now === told) return; // said once
    told = now;
    alarm.hidden = over.length === 0;
    document.title = over.length ? `Wait over: ${title}` : title;
    alarm.replaceChildren(...over.map(({ step, end }) => pgMake("div", {},
      pgMake("p", {}, pgMake("strong", {}, `Step ${step.number}: the wait is over`), `, since ${clock(end)}.`),
      pgMake("a", { href: `#${step.key}` }, `To step ${step.number}`),
      pgButton("Seen", () => stopWait(step), { "aria-label": `Seen: step ${step.number}` }))));
  }

  function showWaits(state) {
    const running = waits(state);
    for (const step of steps) {
      if (!step.timer) continue;
      const wait = running.find((one) => one.step === step);
      const { left, act } = step.timer;
      const words = !wait ? "" : wait.left > 0
        ? `${duration(wait.left)} to go, until ${clock(wait.end)}`
        : `The wait is over, since ${clock(wait.end)}`;
      if (left.textContent !== words) left.textContent = words;
      left.hidden = !wait;
      const name = !wait ? `Start the timer: ${duration(step.wait)}` : wait.left > 0 ? "Stop the timer" : "Seen";
      if (act.textContent !== name) act.textContent = name;
      step.section.dataset.waiting = !wait ? "" : wait.left > 0 ? "on" : "over";
    }
    showAlarm(running.filter(({ left }) => left <= 0));
    clearTimeout(tick);
    if (running.some(({ left }) => left > 0)) tick = setTimeout(() => show(), 1000 - (Date.now() % 1000));
  }
  let tick = 0;

  // --- shown --------------------------------------------------------------------------

  const listeners = [];

  function show() {
    const state = read();
    for (const { box, name } of boxes) box.checked = state.ticks[name] === true;
    for (const step of steps) step.section.classList.toggle("pg-is-done", isDone(step, state));
    showWaits(state);
    for (const listener of listeners) listener(state);
  }

  addEventListener("storage", (event) => {
    if (event.key === null || event.key.endsWith(`.${KEY}`)) show();
  });
  document.addEventListener("visibilitychange", show); // timers sleep in a window that is not seen
  addEventListener("pageshow", show); // the browser may have put its own ticks back

  return {
    start, alarm, steps, read, change, reset, show, isDone, progress, waits, duration,
    onChange: (listener) => listeners.push(listener),
    keeps: () => memory === null,
  };
})();

pgMarks?.show();
