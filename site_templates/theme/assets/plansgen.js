// What every program of the site uses, and filters and order of the gallery. Pages are complete
// without it.

/** An element with attributes, properties that begin with a dot, and children; null leaves one out. */
function pgMake(tag, attributes = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith(".")) element[name.slice(1)] = value;
    else if (value !== null) element.setAttribute(name, value);
  }
  element.append(...children);
  return element;
}

/** A button that does something. */
function pgButton(text, act, attributes = {}) {
  const button = pgMake("button", { type: "button", ...attributes }, text);
  button.addEventListener("click", act);
  return button;
}

/** Whether a card passes one field of the filter form. */
function passes(card, field) {
  const wanted = field.value.trim().toLowerCase();
  if (!wanted || field.dataset.kind === "order") return true;
  if (field.type === "search") {
    const text = card.textContent.toLowerCase();
    return wanted.split(/\s+/).every((word) => text.includes(word));
  }
  const has = (card.dataset[field.name] ?? "").toLowerCase();
  if (field.dataset.kind !== "range") return has.split(" ").includes(wanted);
  // "1000-1500" is from 1000 up to, not including, 1500; either end may be left out
  const [low, high] = wanted.split("-");
  const value = parseFloat(has);
  return value >= (low ? +low : -Infinity) && value < (high ? +high : Infinity);
}

/** Put cards in order of a number: "mass", or "-mass" for the other way; without it last. */
function putInOrder(cards, wanted) {
  const name = wanted.replace("-", "");
  const sign = wanted.startsWith("-") ? -1 : 1;
  const rank = (card) => (name in card.dataset ? sign * +card.dataset[name] : Infinity);
  const ordered = wanted ? [...cards].sort((a, b) => rank(a) - rank(b) || 0) : cards;
  if (ordered.length) ordered[0].parentElement.append(...ordered);
}

function startFilters(form) {
  const cards = [...document.querySelectorAll(`#${form.dataset.target} .pg-card`)];
  const fields = [...form.querySelectorAll("select, input")].filter((field) => field.name);
  const count = form.querySelector("[role=status]");
  const noun = form.dataset.noun ?? "designs";

  const order = fields.find((field) => field.dataset.kind === "order");
  let ordered = "";

  const apply = () => {
    if (order && order.value !== ordered) {
      ordered = order.value;
      putInOrder(cards, ordered);
    }
    let shown = 0;
    for (const card of cards) {
      card.hidden = !fields.every((field) => passes(card, field));
      if (!card.hidden) shown += 1;
    }
    count.textContent = `${shown} of ${cards.length} ${noun}`;
  };
  const remember = () => {
    const address = new URL(location.href);
    for (const { name, value } of fields) {
      if (value) address.searchParams.set(name, value);
      else address.searchParams.delete(name);
    }
    history.replaceState(history.state, "", address);
  };
  const recall = () => {
    const query = new URL(location.href).searchParams;
    for (const field of fields) {
      field.value = query.get(field.name) ?? "";
      if (field.selectedIndex === -1) field.value = ""; // a value no longer on offer
    }
    apply();
  };

  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", () => {
    apply();
    remember();
  });
  form.addEventListener("reset", () => {
    // the fields are emptied only after this event
    setTimeout(() => {
      for (const field of fields) field.value = "";
      apply();
      remember();
    });
  });
  addEventListener("popstate", recall);
  recall();
  form.hidden = false;
}

for (const form of document.querySelectorAll("form.pg-filters")) startFilters(form);

/** Fetch a program only where there is something for it to do. */
function also(name) {
  const script = document.createElement("script");
  script.src = new URL(`assets/${name}`, __md_scope);
  document.head.append(script);
}

if (document.querySelector("figure.pg-figure")) also("figures.js");
if (document.querySelector(".pg-find-button")) also("find.js");
