// Two to four designs beside each other. The page has them all as rows of one table; this
// turns the chosen ones into columns. The choice stands in the address, to be passed on.

(() => {
  const MOST = 4;
  const section = document.querySelector(".pg-compare");
  const rows = [...document.querySelectorAll(".pg-compare-all tbody tr")];
  if (!section || rows.length < 2) return;
  const titles = [...document.querySelectorAll(".pg-compare-all thead th")].slice(1);
  const choice = section.querySelector(".pg-compare-choice");
  const beside = section.querySelector(".pg-compare-beside");
  const status = section.querySelector("[role=status]");

  const boxes = new Map(
    rows.map((row) => {
      const box = pgMake("input", { type: "checkbox", value: row.dataset.slug });
      choice.append(pgMake("li", {}, pgMake("label", {}, box, ` ${row.cells[0].textContent}`)));
      return [row.dataset.slug, box];
    }),
  );
  const chosen = () => rows.filter((row) => boxes.get(row.dataset.slug).checked);

  function picture(row) {
    const { slug, width, height, alt } = row.dataset;
    return ["light", "dark"].map((scheme) =>
      pgMake("img", {
        class: `pg-${scheme}`,
        src: `designs/${slug}/figures/card${scheme === "dark" ? "-dark" : ""}.svg`,
        loading: "lazy",
        width,
        height,
        alt,
      }),
    );
  }

  function show() {
    const mine = chosen();
    for (const box of boxes.values()) box.disabled = mine.length >= MOST && !box.checked;
    status.textContent =
      mine.length < 2 ? `${mine.length || "None"} chosen so far.` : `${mine.length} designs.`;
    beside.replaceChildren();
    if (mine.length < 2) return;
    const head = pgMake("tr", {}, pgMake("th", { scope: "col" }, "Design"));
    for (const row of mine) {
      head.append(pgMake("th", { scope: "col" }, row.cells[0].firstChild.cloneNode(true), ...picture(row)));
    }
    const body = pgMake("tbody");
    titles.forEach((title, at) => {
      const values = mine.map((row) => row.cells[at + 1].textContent);
      const line = pgMake("tr", {}, pgMake("th", { scope: "row" }, title.textContent));
      line.append(...values.map((value) => pgMake("td", {}, value)));
      if (values.every((value) => value === values[0])) line.className = "pg-compare-same";
      body.append(line);
    });
    const caption = pgMake("caption", {}, "The chosen designs; lines in which they agree are paler");
    beside.append(caption, pgMake("thead", {}, head), body);
  }

  function recall() {
    const wanted = (new URL(location.href).searchParams.get("with") ?? "").split(",").filter((slug) => boxes.has(slug));
    for (const [slug, box] of boxes) box.checked = wanted.slice(0, MOST).includes(slug);
    show();
  }
  choice.addEventListener("change", () => {
    const address = new URL(location.href);
    const slugs = chosen().map((row) => row.dataset.slug);
    if (slugs.length) address.searchParams.set("with", slugs.join(","));
    else address.searchParams.delete("with");
    history.replaceState(history.state, "", address);
    show();
  });
  addEventListener("popstate", recall);
  recall();
  section.hidden = false;
})();
