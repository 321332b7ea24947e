// Search. The index is large, so it is fetched when somebody first wants it. From a folder or a
// memory stick it comes as a program that calls pgSearchIndex, the only way to read a file there.

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

  const opener = document.querySelector(".pg-find-button");
  const field = pgMake("input", { type: "search", autocomplete: "off" });
  const news = pgMake("p", { role: "status" });
  const results = pgMake("ol");
  const form = pgMake("form", { method: "dialog" }, pgMake("label", {}, "Search ", field), pgMake("button", {}, "Close"));
  const dialog = pgMake("dialog", { class: "pg-find", "aria-label": "Search" }, form, news, results);

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
      const link = pgMake("a", { href: new URL(entry.location, __md_scope) });
      link.append(pgMake("b", {}, decoded(entry.title)), pgMake("small", {}, `${decoded(entry.page)}: … ${decoded(piece)} …`));
      results.append(pgMake("li", {}, link));
    }
  }

  const missing = (file) => {
    news.textContent = `The index (${file}) cannot be read here. Copy the whole site.`;
  };
  let asked = false;

  function fetchIndex() {
    if (asked) return;
    asked = true;
    const from = (file) => new URL(file, __md_scope);
    if (location.protocol !== "file:") {
      const file = "search/search_index.json";
      fetch(from(file))
        .then((answer) => (answer.ok ? answer.json() : Promise.reject(new Error(answer.status))))
        .then(pgSearchIndex)
        .catch(() => {
          asked = false; // perhaps there is a network next time
          missing(file);
        });
      return;
    }
    const script = pgMake("script", { src: from("search/search_index.js") });
    script.addEventListener("error", () => missing("search/search_index.js"));
    document.head.append(script);
  }

  function open() {
    dialog.showModal();
    field.focus();
    fetchIndex();
    show();
  }

  opener.addEventListener("click", open);
  document.addEventListener("keydown", (event) => {
    const typing = event.target.closest?.("input, select, textarea, dialog");
    if (event.key !== "/" || event.ctrlKey || event.metaKey || typing) return;
    event.preventDefault();
    open();
  });
  field.addEventListener("input", show);
  field.addEventListener("keydown", (event) => {
    if (event.key === "Enter") event.preventDefault();
  });
  results.addEventListener("click", () => dialog.close());
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
