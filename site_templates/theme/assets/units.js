// One switch for millimetres and grams or inches and ounces, on every page. The pages
// are written in metric; this rewrites their text, and that of the drawings, for those
// who asked for inches. Factors: NIST SP 811, appendix B.8, as in plansgen's own pages.

const pgUnits = (() => {
  const INCH = 25.4; // mm
  const FOOT = 304.8; // mm
  const OUNCE = 28.349523125; // g
  const POUND = 4.4482216152605; // N

  const fixed = (value, places) => {
    const text = Math.abs(value).toFixed(places);
    const [whole, rest] = text.split(".");
    const grouped = whole.replace(/\B(?=(\d{3})+$)/g, "\u202f");
    const minus = value < 0 && /[1-9]/.test(text) ? "\u2212" : "";
    return minus + grouped + (rest ? `.${rest}` : "");
  };
  const significant = (value, digits = 3) => {
    if (value === 0) return "0";
    const places = (of) => digits - 1 - Math.floor(Math.log10(Math.abs(of)));
    const rounded = Number(value.toPrecision(digits));
    return fixed(rounded, Math.max(places(rounded), 0));
  };

  // Metric unit: [its name in inches and ounces, what a number of it becomes].
  const RULES = {
    "mm": ["in", (v, places) => fixed(v / INCH, places > 1 ? 3 : 2)],
    "cm": ["in", (v) => fixed((v * 10) / INCH, 2)],
    "dm²": ["in²", (v) => significant((v * 1e4) / INCH ** 2)],
    "cm²": ["in²", (v) => significant((v * 100) / INCH ** 2)],
    "mm²": ["in²", (v) => significant(v / INCH ** 2)],
    "dm³": ["in³", (v) => significant((v * 1e6) / INCH ** 3)],
    "g": ["oz", (v) => fixed(v / OUNCE, 2)],
    "kg": ["lb", (v) => fixed((v * 1000) / OUNCE / 16, 2)],
    "g/dm²": ["oz/ft²", (v) => fixed(((v / OUNCE) * FOOT ** 2) / 1e4, 1)],
    "g/m²": ["oz/ft²", (v) => fixed(((v / OUNCE) * FOOT ** 2) / 1e6, 2)],
    "g/m": ["oz/ft", (v) => fixed(((v / OUNCE) * FOOT) / 1000, 3)],
    "kg/m³": ["oz/ft³", (v) => fixed((((v * 1000) / OUNCE) * FOOT ** 3) / 1e9, 1)],
    "m/s": ["ft/s", (v) => significant((v * 1000) / FOOT, 2)],
    "km/h": ["mph", (v) => fixed(v / 1.609344, 0)],
    "N": ["ozf", (v) => significant((v / POUND) * 16)],
    "N\u00a0m": ["ozf\u00a0in", (v) => significant(((v / POUND) * 16 * 1000) / INCH)],
    "N\u00a0m²": ["lbf\u00a0in²", (v) => significant(((v / POUND) * 1e6) / INCH ** 2)],
    "GPa": ["psi", (v) => significant((v * 1e9 * INCH ** 2) / POUND / 1e6)],
    "MPa": ["psi", (v) => significant((v * 1e6 * INCH ** 2) / POUND / 1e6)],
    "kPa": ["psi", (v) => significant((v * 1e3 * INCH ** 2) / POUND / 1e6)],
    "m": ["ft", (v) => fixed((v * 1000) / FOOT, 1)],
    "°C": ["°F", (v) => fixed(v * 1.8 + 32, 0)],
  };

  const NUMBER = "[\u2212-]?\\d{1,3}(?:\u202f\\d{3})+(?:\\.\\d+)?|[\u2212-]?\\d+(?:\\.\\d+)?";
  const UNIT = Object.keys(RULES)
    .sort((a, b) => b.length - a.length)
    .map((name) => name.replace("\u00a0", "[ \u00a0]"))
    .join("|");
  // One number, or several that share the unit: "72 to 94 mm", "841 × 594 mm", "12 ± 2 g".
  const QUANTITY = new RegExp(
    `(?<![\\w.,/\u2212-])((?:(?:${NUMBER})(?: (?:to|and|or|x|×|±|by) |\u2013|\u00a0±\u00a0|, ))*(?:${NUMBER}))([ \u00a0]?)(${UNIT})(?![\\w²³/])`,
    "g",
  );
  const EACH = new RegExp(NUMBER, "g");

  /** A metric text in inches and ounces. */
  function inInches(text) {
    return text.replace(QUANTITY, (_, numbers, gap, unit) => {
      const [name, convert] = RULES[unit.replace(" ", "\u00a0")];
      const converted = numbers.replace(EACH, (one) => {
        const value = Number(one.replace(/\u202f/g, "").replace("\u2212", "-"));
        return convert(value, (one.split(".")[1] ?? "").length);
      });
      return `${converted}${gap || "\u00a0"}${name}`;
    });
  }

  const originals = new Map(); // text node or image -> what it was
  const SKIP = "script, style, code, textarea, input, select, [data-units-keep]";

  function* texts(root) {
    const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      if (!node.parentElement.closest(SKIP)) yield node;
    }
  }

  function convertTexts(root) {
    for (const node of texts(root)) {
      const changed = inInches(node.data);
      if (changed === node.data) continue;
      originals.set(node, node.data);
      node.data = changed;
    }
    for (const image of root.querySelectorAll("img[alt], svg [aria-label], figure [title]")) {
      const name = image.hasAttribute("alt") ? "alt" : image.title ? "title" : "aria-label";
      const changed = inInches(image.getAttribute(name));
      if (changed !== image.getAttribute(name)) {
        originals.set({ image, name }, image.getAttribute(name));
        image.setAttribute(name, changed);
      }
    }
  }

  /** A drawing with its text in inches; it stays in millimetres where it cannot be read. */
  async function convertDrawing(image) {
    if (originals.has(image)) return;
    const source = image.getAttribute("src");
    originals.set(image, source);
    try {
      const answer = await fetch(source);
      if (!answer.ok) return;
      const drawing = new DOMParser().parseFromString(await answer.text(), "image/svg+xml");
      for (const node of texts(drawing.documentElement)) node.data = inInches(node.data);
      const text = new XMLSerializer().serializeToString(drawing);
      if (current() !== "inch") return;
      image.src = `data:image/svg+xml,${encodeURIComponent(text)}`;
    } catch {
      // from a folder a page may not read its own files
    }
  }

  const seen = new IntersectionObserver((entries) => {
    for (const entry of entries) {
      if (!entry.isIntersecting) continue;
      seen.unobserve(entry.target);
      convertDrawing(entry.target);
    }
  }, { rootMargin: "800px" });

  function toInches(root) {
    convertTexts(root);
    if (location.protocol === "file:") return;
    for (const image of root.querySelectorAll(".pg-figure img[src$='.svg']")) seen.observe(image);
  }

  function toMetric() {
    for (const [what, was] of originals) {
      if (what instanceof Text) what.data = was;
      else if (what instanceof Image) what.src = was;
      else what.image.setAttribute(what.name, was);
    }
    originals.clear();
    seen.disconnect();
  }

  const listeners = [];
  const current = () => document.documentElement.dataset.units ?? "metric";

  function choose(units) {
    if (units === current()) return;
    document.documentElement.dataset.units = units;
    __md_set("__units", units);
    toMetric();
    if (units === "inch") toInches(document.body);
    for (const listener of listeners) listener(units);
    label();
  }

  function label() {
    for (const button of document.querySelectorAll(".pg-units")) {
      button.hidden = false;
      button.setAttribute("aria-pressed", String(current() === "inch"));
    }
  }

  function start() {
    if (__md_get("__units") === "inch") {
      document.documentElement.dataset.units = "inch";
      toInches(document.body);
    }
    for (const button of document.querySelectorAll(".pg-units")) {
      button.addEventListener("click", () => choose(current() === "inch" ? "metric" : "inch"));
    }
    label();
  }

  return { inInches, current, start, onChange: (listener) => listeners.push(listener) };
})();

pgUnits.start();
