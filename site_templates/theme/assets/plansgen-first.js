// Runs before anything is painted. First the four names that the theme's own
// program expects; then the colour scheme, set the moment <body> exists, so that
// a page never flashes in the other scheme.
document.documentElement.classList.add("pg-scripts"); // room is kept for what they add
const __md_scope = new URL(document.currentScript.dataset.base, location);
const __md_hash = (text) =>
  [...text].reduce((sum, char) => (sum << 5) - sum + char.charCodeAt(0), 0);
const __md_get = (key, storage = localStorage, scope = __md_scope) => {
  try {
    return JSON.parse(storage.getItem(scope.pathname + "." + key));
  } catch {
    return null; // storage refused, or not ours
  }
};
const __md_set = (key, value, storage = localStorage, scope = __md_scope) => {
  try {
    storage.setItem(scope.pathname + "." + key, JSON.stringify(value));
  } catch {
    // storage refused: the choice lasts for this page
  }
};

(() => {
  const systemMedia = "(prefers-color-scheme)";
  const chosen = __md_get("__palette")?.color?.media ?? systemMedia;
  const dark =
    chosen === systemMedia
      ? matchMedia("(prefers-color-scheme: dark)").matches
      : chosen.includes("dark");
  const paint = () =>
    document.body.setAttribute("data-md-color-scheme", dark ? "slate" : "default");
  if (document.body) return paint();
  const watcher = new MutationObserver(() => {
    if (!document.body) return;
    watcher.disconnect();
    paint();
  });
  watcher.observe(document.documentElement, { childList: true });
})();
