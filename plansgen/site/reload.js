// Loads the page again after a rebuild, and shows what is wrong with the files. Only `plansgen
// serve` adds it to pages, as they are served; a built site has none of it.
"use strict";
(() => {
  const mine = document.currentScript.dataset.build;
  let source = null;
  let banner = null;

  const style = (element, rules) => {
    // One property at a time: the pages' security policy allows no inline style.
    for (const [name, value] of Object.entries(rules)) element.style.setProperty(name, value);
  };

  const makeBanner = () => {
    const made = document.createElement("div");
    made.className = "pg-banner";
    made.setAttribute("role", "alert");
    made.tabIndex = 0; // so that the keyboard can scroll it
    style(made, {
      position: "sticky", top: "0", "z-index": "1000", "box-sizing": "border-box",
      "max-height": "45vh", overflow: "auto", margin: "0", padding: "0.75rem 1rem",
      "max-width": "none", border: "0", "border-radius": "0",
      color: "#ffffff", background: "#8c1515", outline: "2px solid #ffffff",
      "outline-offset": "-4px", font: "0.8rem/1.5 system-ui, sans-serif",
      "white-space": "pre-wrap", "overflow-wrap": "anywhere",
    });
    document.body.prepend(made);
    return made;
  };

  const show = (problems) => {
    if (problems.length === 0) {
      if (banner) banner.remove();
      banner = null;
      return;
    }
    banner = banner || makeBanner();
    const count = problems.length === 1 ? "1 problem" : `${problems.length} problems`;
    const text = `${count}; below is the last good page.\n${problems.join("\n")}`;
    if (banner.textContent !== text) banner.textContent = text;
  };

  const listen = () => {
    if (source) return;
    source = new EventSource("/_plansgen/events");
    source.onmessage = (event) => {
      const news = JSON.parse(event.data);
      if (news.build === mine) {
        // The page of a library that never built lists its problems itself.
        if (mine.endsWith("-0")) showWaiting(news.problems);
        else show(news.problems);
      } else {
        location.reload();
      }
    };
  };

  const showWaiting = (problems) => {
    const listed = [...document.querySelectorAll("main li")].map((item) => item.textContent);
    if (JSON.stringify(listed) !== JSON.stringify(problems)) location.reload();
  };

  const rest = () => {
    // A browser opens few connections to one server; a hidden page gives its own back.
    if (source) source.close();
    source = null;
  };

  document.addEventListener("visibilitychange", () => (document.hidden ? rest() : listen()));
  window.addEventListener("pagehide", rest);
  window.addEventListener("pageshow", listen);
  listen();
})();
