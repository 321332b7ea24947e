// One build step a screen, for a tablet on the bench: large, with a swipe, a key or a
// big button to the next. Ticks and timers are those of step-marks.js.

(() => {
  if (!pgMarks?.steps.length) return;
  const { start, steps } = pgMarks;
  const SWIPE = { least: 60, steep: 2, longest: 800, edge: 24 }; // px, ratio, ms, px
  const body = document.body;
  let current = null; // the step on the screen; null: the whole page is

  // --- bars ---------------------------------------------------------------------------

  const news = pgMake("p", { class: "pg-step-news", role: "status" });
  const where = pgButton("", () => openList(), { class: "pg-step-where", "aria-haspopup": "dialog" });
  const meter = pgMake("progress", { "aria-label": "Steps done", max: steps.length });
  const far = pgMake("span", { class: "pg-step-far" });
  const waiting = pgButton("", () => go(pgMarks.waits()[0]?.step ?? current), { class: "pg-step-waiting" });
  const bar = pgMake("div", { class: "pg-stepbar pg-screen", role: "region", "aria-label": "Step by step" },
    pgMake("div", { class: "pg-stepbar-row" }, where, sunButton(), pgButton("Whole page", leave, { class: "pg-step-leave" })),
    pgMake("div", { class: "pg-stepbar-row" }, meter, far, waiting));
  const back = pgButton("Previous", () => move(-1), { class: "pg-step-back" });
  const on = pgButton("Next", () => move(1), { class: "pg-step-on" });
  const foot = pgMake("nav", { class: "pg-stepfoot pg-screen", "aria-label": "Steps" }, back, on);
  steps[0].section.before(bar);
  steps.at(-1).section.after(foot);
  start.after(news);

  function sunButton() {
    const made = pgButton("Sun", () => {
      __md_set("steps.sun", !body.classList.contains("pg-sun"));
      showSun();
    }, { class: "pg-step-sun", title: "Black on white with heavy lines, to read in the sun" });
    return made;
  }

  function showSun() {
    const sunny = __md_get("steps.sun") === true;
    body.classList.toggle("pg-sun", sunny);
    for (const each of document.querySelectorAll(".pg-step-sun")) each.setAttribute("aria-pressed", String(sunny));
  }

  // --- the whole page's own row -------------------------------------------------------

  const enter = pgButton("", () => go(pgMarks.steps.find(({ key }) => key === pgMarks.read().last) ?? steps[0], true),
    { class: "pg-step-enter" });
  const sofar = pgMake("p", { class: "pg-step-sofar" });
  start.append(pgMake("div", { class: "pg-stepbar-row" }, enter, sunButton(),
    pgButton("Clear all ticks", () => askReset(), { class: "pg-step-clear" })), sofar);
  start.hidden = false;

  // --- list of steps, and clearing ----------------------------------------------------

  const list = pgMake("ol", { class: "pg-step-all" });
  const note = pgMake("p", {});
  const dialog = pgMake("dialog", { class: "pg-step-dialog", "aria-label": "All steps" },
    pgMake("div", { class: "pg-stepbar-row" }, pgMake("strong", {}, "All steps"), pgButton("Close", () => dialog.close())),
    list, note, pgButton("Clear all ticks", () => { dialog.close(); askReset(); }));
  const sure = pgMake("dialog", { class: "pg-step-dialog", "aria-label": "Clear all ticks?" },
    pgMake("p", {}, "Every tick and timer of this build will be gone from this device."),
    pgMake("div", { class: "pg-stepbar-row" },
      pgButton("Keep them", () => sure.close()),
      pgButton("Clear them", () => {
        sure.close();
        pgMarks.reset();
        if (current) go(steps[0], true);
        news.textContent = "All ticks and timers are cleared.";
      }, { class: "pg-step-sure" })));
  start.after(dialog, sure);
  const askReset = () => sure.showModal();

  function openList() {
    const state = pgMarks.read();
    list.replaceChildren(...steps.map((step) => {
      const told = pgMarks.isDone(step, state) ? "done" : step.key in state.waits ? "waiting" : "";
      const item = pgButton("", () => { dialog.close(); go(step, true); }, step === current ? { "aria-current": "step" } : {});
      item.append(pgMake("span", { class: "pg-step-all-number" }, String(step.number)), pgMake("span", {}, step.title));
      if (told) item.append(pgMake("span", { class: "pg-step-all-told" }, told));
      return pgMake("li", {}, item);
    }));
    note.textContent = [
      lock ? "The screen stays on." : "This browser may let the screen go dark; set a longer time in the device's own settings.",
      pgMarks.keeps() ? "" : "This browser keeps nothing: ticks last until the page is closed.",
    ].join(" ").trim();
    dialog.showModal();
    list.querySelector("[aria-current]")?.focus();
  }

  // --- from step to step --------------------------------------------------------------

  /** Show one step; focus: whether its heading takes the keyboard. */
  function go(step, focus = false, target = null) {
    if (!step) return;
    const first = current === null;
    const lost = first || current.section.contains(document.activeElement);
    current = step;
    if (first) bar.prepend(pgMarks.alarm);
    body.classList.add("pg-stepping");
    for (const each of steps) each.section.classList.toggle("pg-current", each === step);
    if (location.hash !== `#${step.key}` && !target) history.replaceState(history.state, "", `#${step.key}`);
    pgMarks.change((state) => Object.assign(state, { last: step.key, on: true }));
    if (first) wake();
    drawAhead(step);
    if (target) target.scrollIntoView();
    else scrollTo(0, 0);
    if (focus || lost) {
      step.heading.tabIndex = -1;
      step.heading.focus({ preventScroll: true });
    }
    news.textContent = `Step ${step.number} of ${steps.length}: ${step.title}`;
  }

  const move = (by) => go(steps[steps.indexOf(current) + by]);

  function leave() {
    const step = current;
    current = null;
    body.classList.remove("pg-stepping");
    start.before(pgMarks.alarm);
    pgMarks.change((state) => { state.on = false; });
    release();
    news.textContent = "";
    step.section.scrollIntoView();
    step.heading.tabIndex = -1;
    step.heading.focus({ preventScroll: true });
  }

  /** The step that an address points into, and the place in it. */
  function fromAddress() {
    let target = null;
    try {
      target = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    } catch {
      return {}; // a damaged address
    }
    const step = target && steps.find(({ section }) => section.contains(target));
    return step ? { step, target: target === step.heading ? null : target } : {};
  }

  addEventListener("hashchange", () => {
    const { step, target } = fromAddress();
    if (current && step) go(step, true, target);
  });

  /** Fetch drawings before they are asked for: those of paper, then those of this screen. */
  function drawAhead(step) {
    const next = steps[step.number]?.section;
    for (const image of document.querySelectorAll(".pg-step img:not(.pg-dark)")) image.loading = "eager";
    for (const image of next?.querySelectorAll("img") ?? []) {
      if (!image.matches("[data-md-color-scheme='default'] .pg-dark")) image.loading = "eager";
    }
  }

  // --- what an earlier step told ------------------------------------------------------

  for (const link of document.querySelectorAll(".pg-again a")) {
    link.addEventListener("click", (event) => {
      if (!current) return;
      event.preventDefault();
      const open = link.getAttribute("aria-expanded") === "true";
      link.setAttribute("aria-expanded", String(!open));
      if (open) return link.told.remove();
      link.told = document.querySelector(link.getAttribute("href")).cloneNode(true);
      link.told.removeAttribute("id");
      link.told.classList.add("pg-screen");
      link.closest(".pg-again").after(link.told);
    });
  }

  // --- keys and fingers ---------------------------------------------------------------

  /** A screenful on or back, or the next step when there is no more of this one. */
  function page(by) {
    const seen = foot.getBoundingClientRect().top - Math.max(bar.getBoundingClientRect().bottom, 0);
    const { scrollHeight } = document.documentElement;
    const more = by > 0 ? scrollY + innerHeight < scrollHeight - 4 : scrollY > 4;
    if (more) scrollBy({ top: by * Math.max(seen - 60, 60), behavior: "instant" });
    else move(by);
  }
  const KEYS = {
    ArrowRight: () => move(1),
    ArrowLeft: () => move(-1),
    PageDown: () => page(1),
    PageUp: () => page(-1),
    " ": (event) => page(event.shiftKey ? -1 : 1),
  };

  /** Whether something between a place and the page moves sideways by itself. */
  const slides = (place) => {
    for (let each = place; each && each !== body; each = each.parentElement) {
      if (each.scrollWidth > each.clientWidth + 1 && /auto|scroll/.test(getComputedStyle(each).overflowX)) return true;
    }
    return false;
  };

  addEventListener("keydown", (event) => {
    if (!current || event.defaultPrevented || event.ctrlKey || event.altKey || event.metaKey) return;
    if (!Object.hasOwn(KEYS, event.key) || document.querySelector("dialog[open]")) return;
    const place = event.target instanceof Element ? event.target : body;
    if (place.matches("input:not([type=checkbox]), select, textarea, [contenteditable]")) return;
    if (event.key === " " && place.closest("a, button, input, label, summary")) return;
    if (event.key.startsWith("Arrow") && slides(place)) return;
    event.preventDefault();
    KEYS[event.key](event);
  });

  let touch = null; // where one finger came down; null: no swipe can come of it
  const options = { passive: true }; // scrolling and pinching stay the browser's
  addEventListener("touchstart", (event) => {
    const [finger] = event.touches;
    const edge = finger.clientX < SWIPE.edge || finger.clientX > innerWidth - SWIPE.edge; // the system's own swipe
    const good = current && event.touches.length === 1 && !edge && (visualViewport?.scale ?? 1) < 1.05;
    touch = good && !slides(event.target) && !event.target.closest("dialog")
      ? { x: finger.clientX, y: finger.clientY, at: event.timeStamp } : null;
  }, options);
  addEventListener("touchcancel", () => { touch = null; }, options);
  addEventListener("touchend", (event) => {
    const from = touch;
    touch = null;
    if (!from || !current || event.touches.length || event.timeStamp - from.at > SWIPE.longest) return;
    const across = event.changedTouches[0].clientX - from.x;
    const down = event.changedTouches[0].clientY - from.y;
    if (Math.abs(across) < SWIPE.least || Math.abs(across) < SWIPE.steep * Math.abs(down)) return;
    if (!getSelection().isCollapsed) return;
    move(across < 0 ? 1 : -1);
  }, options);

  // --- the screen stays on ------------------------------------------------------------

  let lock = null;
  async function wake() {
    if (!current || lock || document.visibilityState !== "visible") return;
    try {
      const got = await navigator.wakeLock.request("screen");
      if (!current || lock) return void got.release();
      lock = got;
      got.addEventListener("release", () => { if (lock === got) lock = null; });
    } catch {
      // refused, unknown, or the page came from a folder: the list of steps says so
    }
  }
  function release() {
    lock?.release();
    lock = null;
  }
  document.addEventListener("visibilitychange", wake); // the system lets go when the page is hidden

  // --- shown --------------------------------------------------------------------------

  function show(state) {
    const { done, of, minutes } = pgMarks.progress();
    const left = minutes ? `, ${pgMarks.duration(minutes * 60_000)} at the bench to go` : "";
    sofar.textContent = done ? `${done} of ${of} steps done${left}.` : "";
    const last = steps.find(({ key }) => key === state.last);
    enter.textContent = last && last !== steps[0] ? `Step by step, from step ${last.number}` : "Step by step";
    if (!current) return;
    where.textContent = `Step ${current.number} of ${of}`;
    meter.value = done;
    far.replaceChildren(`${done} done`, pgMake("span", { class: "pg-step-far-time" }, left));
    back.setAttribute("aria-disabled", String(current === steps[0]));
    on.setAttribute("aria-disabled", String(current === steps.at(-1)));
    const [soonest] = pgMarks.waits(state).filter((wait) => wait.left > 0);
    waiting.hidden = !soonest;
    if (soonest) waiting.textContent = `Step ${soonest.step.number} waits: ${pgMarks.duration(soonest.left)}`;
  }

  pgMarks.onChange(show);
  showSun();
  pgMarks.show();
  if (pgMarks.read().on) {
    const { step, target } = fromAddress();
    go(step ?? steps.find(({ key }) => key === pgMarks.read().last) ?? steps[0], false, target);
  }
})();
