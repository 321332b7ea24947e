// Search for a site that was opened from a folder or a memory stick. The index comes as a
// program that calls pgSearchIndex, the only way in which a page may read a file there.

const pgSearchIndex = (() => {
  const MOST = 30; // results shown
  const AROUND = 90; // letters of text before and after what was found
  let entries = null;

  const plain = (text) => text.replace(/<[^>]*>/g, " ").replace(/\s+/g, " ");
  const decoded = (text) =>
    new DOMParser().parseFromString(text, "text/html").body.textContent.trim();
  /** A test for words that begin so: "rib" finds ribs, not "describe". */
  const beginning = (word) =>
    new RegExp(`(?<![\\p{L}\\p{N}])${word.replace(/[\\^$.*+?()[\]{}|/]/g, "\\$&")}`, "u");

  const make = (tag, attributes = {}, ...inside) => {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
    made.append(...inside);
    return made;
  };

  const opener = make("button", { type: "button", class: "pg-find-button" }, "Search");
  const field = make("input", { type: "search", autocomplete: "off" });
  const news = make("p", { role: "status" });
  const results = make("ol");
  const form = make("form", { method: "dialog" }, make("label", {}, "Search ", field), make("button", {}, "Close"));
  const dialog = make("dialog", { class: "pg-find", "aria-label": "Search" }, form, news, results);

  function find(words) {
    const tests = words.map(beginning);
    const score = (entry) =>
      tests.reduce((sum, test) => {
        const one = (test.test(entry.lowTitle) ? 10 : 0) + (test.test(entry.lowText) ? 1 : 0);
        return one ? sum + one : NaN; // every word must be there
      }, 0);
    return entries
      .map((entry) => [score(entry), entry])
      .filter(([points]) => points > 0)
      .sort((a, b) => b[0] - a[0])
      .map(([, entry]) => entry);
  }

  function show() {
    const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
    results.replaceChildren();
    if (!entries || !words.length) {
      news.textContent = entries ? "" : "Reading the index …";
      return;
    }
    const found = find(words);
    news.textContent = `${found.length || "Nothing"} found${found.length > MOST ? `; the first ${MOST}` : ""}.`;
    for (const entry of found.slice(0, MOST)) {
      const at = Math.max(entry.lowText.search(beginning(words[0])), 0);
      const piece = entry.text.slice(Math.max(at - AROUND, 0), at + AROUND);
      const link = make("a", { href: new URL(entry.location, __md_scope) });
      link.append(make("b", {}, decoded(entry.title)), make("small", {}, `${decoded(entry.page)}: … ${decoded(piece)} …`));
      results.append(make("li", {}, link));
    }
  }

  opener.addEventListener("click", () => {
    dialog.showModal();
    field.focus();
    if (entries || document.querySelector("[data-search-index]")) return;
    const script = make("script", { src: new URL("search/search_index.js", __md_scope), "data-search-index": "" });
    script.addEventListener("error", () => {
      news.textContent = "The index (search/search_index.js) is missing in this folder. Copy the whole site.";
    });
    document.head.append(script);
    show();
  });
  field.addEventListener("input", show);
  field.addEventListener("keydown", (event) => {
    if (event.key === "Enter") event.preventDefault();
  });
  results.addEventListener("click", () => dialog.close());
  document.querySelector(".pg-tools").append(opener);
  document.body.append(dialog);

  return ({ docs }) => {
    const pages = new Map(docs.map((doc) => [doc.location, doc.title]));
    entries = docs.map((doc) => {
      const text = plain(doc.text);
      const page = pages.get(doc.location.split("#")[0]) ?? "";
      const { title, location } = doc;
      return { title, location, page, text, lowTitle: title.toLowerCase(), lowText: text.toLowerCase() };
    });
    show();
  };
})();
