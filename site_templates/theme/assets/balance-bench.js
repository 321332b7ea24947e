// "Your model": a builder's own masses, and where that model balances. Everything
// stays on the device; a link or a small file carries it to another.

(() => {
  const box = document.querySelector(".pg-bench");
  if (!box) return;
  const plan = JSON.parse(box.dataset.model);
  const KEY = `bench.${plan.design}.${plan.revision}`;
  const INCH = 0.0254;
  const OUNCE = 0.028349523125;
  const AXES = ["x", "y", "z"];
  const MOST = 40; // things of one's own
  const ADVICE = "What to do";
  const LARGEST = { mass: 100, place: 20 }; // kg, m: of a model aeroplane

  // --- units --------------------------------------------------------------------------

  const inches = () => pgUnits.current() === "inch";
  const units = {
    mass: () => (inches() ? { name: "oz", size: OUNCE, places: 2 } : { name: "g", size: 1e-3, places: 1 }),
    place: () => (inches() ? { name: "in", size: INCH, places: 2 } : { name: "mm", size: 1e-3, places: 1 }),
  };
  const digits = (kind, value) =>
    (value / units[kind]().size).toFixed(units[kind]().places).replace(/\.?0+$/, "") || "0";
  const told = (kind, value) =>
    `${digits(kind, value).replace(/^-0$/, "0").replace("-", "\u2212")}\u00a0${units[kind]().name}`;

  // --- what the builder has put in ----------------------------------------------------

  const fresh = () => ({
    battery: plan.batteries.length ? 0 : null, // number in the list, "own", or none
    own: { mass: plan.batteries[0]?.mass ?? 0.1 },
    batteryX: null, // where it sits; null: where the plan puts it
    things: {}, // by number: what differs from the plan, off: left at home
    extra: [],
    whole: null, // {mass, root}: the finished model without its battery
  });
  let entered = fresh();

  const isNumber = (value, most, least = -most) =>
    typeof value === "number" && value >= least && value <= most;

  /** What came from a link, a file or the store, with everything odd left out. */
  function cleaned(given) {
    const state = fresh();
    if (typeof given !== "object" || given === null) return state;
    const listed = Number.isInteger(given.battery) && given.battery in plan.batteries;
    if (plan.bay && (listed || given.battery === "own")) state.battery = given.battery;
    if (given.battery === null) state.battery = null;
    if (isNumber(given.own?.mass, LARGEST.mass, 0)) state.own.mass = given.own.mass;
    if (isNumber(given.batteryX, LARGEST.place)) state.batteryX = given.batteryX;
    for (const number of plan.things.keys()) {
      const kept = cleanedThing(given.things?.[number]);
      if (given.things?.[number]?.off === true) kept.off = true;
      if (Object.keys(kept).length) state.things[number] = kept;
    }
    for (const one of Array.isArray(given.extra) ? given.extra.slice(0, MOST) : []) {
      state.extra.push({
        name: String(one?.name ?? "").slice(0, 60),
        mass: 0, x: 0, y: 0, z: 0,
        ...cleanedThing(one),
      });
    }
    const whole = given.whole;
    if (isNumber(whole?.mass, LARGEST.mass, 0) && isNumber(whole?.root, LARGEST.place)) {
      state.whole = { mass: whole.mass, root: whole.root };
    }
    return state;
  }

  function cleanedThing(given) {
    const kept = {};
    if (isNumber(given?.mass, LARGEST.mass, 0)) kept.mass = given.mass;
    for (const axis of AXES) if (isNumber(given?.[axis], LARGEST.place)) kept[axis] = given[axis];
    return kept;
  }

  const keep = () => __md_set(KEY, entered);

  const encode = (state) =>
    btoa(String.fromCharCode(...new TextEncoder().encode(JSON.stringify(state))))
      .replace(/\+/g, "-").replace(/\//g, "_").replace(/=+$/, "");
  const decode = (text) =>
    JSON.parse(
      new TextDecoder().decode(
        Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (c) => c.charCodeAt(0)),
      ),
    );

  // --- the answer ---------------------------------------------------------------------

  function battery() {
    if (entered.battery === null || !plan.bay) return null;
    const listed = plan.batteries[entered.battery];
    const x = entered.batteryX ?? listed?.x ?? plan.bay.x;
    return {
      mass: (listed ?? entered.own).mass,
      x, y: plan.bay.y, z: plan.bay.z,
      foremost: plan.bay.from, aftmost: plan.bay.to,
    };
  }

  function things() {
    if (entered.whole) {
      const x = plan.model.rootX + entered.whole.root;
      return [{ mass: entered.whole.mass, x, y: 0, z: 0 }];
    }
    const own = plan.things.map((thing, number) => ({ ...thing, ...entered.things[number] }));
    return [...own.filter((thing) => !thing.off), ...entered.extra];
  }

  function rows(found) {
    const { target } = plan.model;
    const list = [["Balances, behind the wing's root leading edge", told("place", found.from_root)]];
    if (target) {
      const from = (x) => told("place", x - plan.model.rootX);
      list.push(["Must balance there", `${from(target.x)}, allowed ${from(target.forward)} to ${from(target.aft)}`]);
      list.push([ADVICE, advice(found)]);
    }
    list.push(["On the mean aerodynamic chord", `${(found.mac_share * 100).toFixed(1).replace("-", "\u2212")}\u00a0%`]);
    if (found.static_margin !== null) {
      list.push(["Static margin", `${(found.static_margin * 100).toFixed(1).replace("-", "\u2212")}\u00a0%`]);
    }
    list.push(["Ready to fly", told("mass", found.mass)]);
    const loading = inches()
      ? `${((found.wing_loading / OUNCE) * 0.3048 ** 2).toFixed(1)}\u00a0oz/ft²`
      : `${(found.wing_loading * 10).toFixed(1)}\u00a0g/dm²`;
    list.push(["Wing loading", loading]);
    if (found.stall_speed !== null) {
      list.push(["Stalls at about", inches()
        ? `${((found.stall_speed * 3.6) / 1.609344).toFixed(0)}\u00a0mph`
        : `${found.stall_speed.toFixed(1)}\u00a0m/s (${(found.stall_speed * 3.6).toFixed(0)}\u00a0km/h)`]);
    }
    if (Math.abs(found.y) >= 0.0005) {
      const side = found.y > 0 ? ["starboard", "port"] : ["port", "starboard"];
      list.push(["Sideways", `heavy to ${side[0]} by ${told("place", Math.abs(found.y))}; ` +
        `${told("mass", found.tip_ballast)} at the ${side[1]} tip levels it`]);
    }
    return list;
  }

  function advice(found) {
    const parts = [];
    const ready = Math.abs(found.offset) < 0.0005;
    if (ready) return "Nothing: it balances on the mark.";
    if (found.slide !== null && Math.abs(found.slide) >= 0.0005) {
      const now = battery().x;
      const moved = found.battery_x - now;
      if (Math.abs(moved) >= 0.0005) {
        parts.push(`slide the battery ${told("place", Math.abs(moved))} ${moved > 0 ? "aft" : "forward"}, ` +
          `to x ${told("place", found.battery_x)}${found.reached ? "" : ", the end of its bay"}`);
      }
    }
    if (found.ballast !== null) {
      const place = found.ballast_x === plan.model.places.nose ? "nose" : "tail";
      parts.push(`add ${told("mass", found.ballast)} at the ${place}, x ${told("place", found.ballast_x)}`);
    } else if (!found.reached && found.slide === null) {
      parts.push("nothing here helps: move something heavy");
    }
    const words = parts.join("; then ") || "move something heavy: the battery's bay ends here";
    const heavy = found.offset > 0 ? "Tail-heavy" : "Nose-heavy";
    const limits = found.within ? "within the limits" : "outside the limits: do not fly it so";
    return `${heavy} by ${told("place", Math.abs(found.offset))}, ${limits}. To reach the mark: ${words}.`;
  }

  const SVG = "http://www.w3.org/2000/svg";
  function svg(tag, attributes, text = "") {
    const element = document.createElementNS(SVG, tag);
    for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
    element.textContent = text;
    return element;
  }

  /** A ruler along the root chord: what is allowed, the mark, and where it balances. */
  function ruler(found) {
    const { target, rootX } = plan.model;
    const here = found.from_root;
    const ends = [target.forward, target.aft, target.x].map((x) => x - rootX).concat(here);
    const spread = Math.max(...ends) - Math.min(...ends) || 0.01;
    const low = Math.min(...ends) - spread * 0.25;
    const high = Math.max(...ends) + spread * 0.25;
    const at = (value) => 20 + (560 * (value - low)) / (high - low);
    const drawing = svg("svg", { viewBox: "0 0 600 96", class: "pg-bench-ruler", "aria-hidden": "true" });
    const [from, to, mark] = [target.forward, target.aft, target.x].map((x) => at(x - rootX));
    drawing.append(
      svg("line", { x1: 20, x2: 580, y1: 48, y2: 48, class: "pg-bench-line" }),
      svg("rect", { x: from, y: 38, width: Math.max(to - from, 1), height: 20, class: "pg-bench-zone" }),
      svg("text", { x: 20, y: 90 }, "nose"),
      svg("text", { x: 580, y: 90, "text-anchor": "end" }, "tail"),
      svg("path", { d: `M${mark} 60 l-9 16 h18 z`, class: "pg-bench-mark" }),
      svg("text", { x: mark, y: 92, "text-anchor": "middle" }, "mark"),
      svg("path", { d: `M${at(here)} 36 l-9 -16 h18 z`, class: "pg-bench-here" }),
      svg("text", { x: at(here), y: 14, "text-anchor": "middle" }, "your model"),
    );
    return drawing;
  }

  const answers = box.querySelector(".pg-bench-answers");
  const news = box.querySelector(".pg-bench-news");
  let timer = 0;

  function show() {
    const found = balanceCore.answer(plan.model, things(), battery());
    if (!found) {
      answers.replaceChildren(pgMake("p", {}, "Nothing here weighs anything yet."));
      return;
    }
    const list = pgMake("dl", { class: "pg-keyfacts" });
    for (const [title, text] of rows(found)) {
      const wide = title === ADVICE ? { class: "pg-bench-wide" } : {};
      list.append(pgMake("div", wide, pgMake("dt", {}, title), pgMake("dd", {}, text)));
    }
    answers.replaceChildren(list);
    if (plan.model.target) {
      answers.prepend(ruler(found));
      answers.dataset.within = String(found.within);
    }
    clearTimeout(timer);
    // Heard only when the builder pauses, and short.
    timer = setTimeout(() => say(`Balances ${told("place", found.from_root)} behind the root leading edge.`), 900);
  }

  let quiet = true;
  function say(text) {
    if (!quiet) news.textContent = text;
  }

  // --- the form -----------------------------------------------------------------------

  const form = box.querySelector(".pg-bench-form");
  const inputs = []; // {input, kind, read}: shown again when the units change

  function numberField(kind, label, read, write) {
    const input = pgMake("input", {
      type: "text", inputmode: "decimal", autocomplete: "off", "aria-label": `${label}, ${units[kind]().name}`,
      class: "pg-bench-number",
    });
    const field = { input, kind, label, read };
    const refresh = () => {
      input.value = digits(kind, read());
      input.setAttribute("aria-label", `${label}, ${units[kind]().name}`);
      input.removeAttribute("aria-invalid");
    };
    field.refresh = refresh;
    input.addEventListener("input", () => {
      const value = Number(input.value.trim().replace(",", ".").replace("\u2212", "-"));
      const si = value * units[kind]().size;
      const good = input.value.trim() !== "" && isNumber(si, LARGEST[kind], kind === "mass" ? 0 : undefined);
      input.setAttribute("aria-invalid", String(!good));
      if (!good) {
        news.textContent = `${label}: a number of ${units[kind]().name}, please.`;
        return;
      }
      quiet = false;
      news.textContent = "";
      write(si);
      keep();
      show();
    });
    inputs.push(field);
    refresh();
    return pgMake("span", { class: "pg-bench-field" }, input, pgMake("span", { class: "pg-bench-unit", "aria-hidden": "true" }, units[kind]().name));
  }

  const changed = () => {
    quiet = false;
    keep();
    show();
  };

  function batteryFields() {
    const set = box.querySelector(".pg-bench-battery");
    set.hidden = !plan.bay;
    if (!plan.bay) return;
    const choice = pgMake("select", { "aria-label": "Battery" });
    plan.batteries.forEach((one, number) =>
      choice.append(pgMake("option", { value: number }, `${one.name}, ${told("mass", one.mass)}`)));
    choice.append(pgMake("option", { value: "own" }, "another battery"), pgMake("option", { value: "" }, "none"));
    choice.value = entered.battery ?? "";
    const mass = numberField("mass", "Mass of the battery", () => entered.own.mass, (value) => { entered.own.mass = value; });
    const place = numberField("place", "Middle of the battery, x", () => battery()?.x ?? plan.bay.x,
      (value) => { entered.batteryX = value; });
    const slider = pgMake("input", {
      type: "range", min: plan.bay.from, max: plan.bay.to, step: "any",
      "aria-label": "Slide the battery in its bay",
    });
    const refresh = () => {
      mass.parentElement.hidden = entered.battery !== "own";
      place.parentElement.hidden = slider.parentElement.hidden = entered.battery === null;
      slider.value = battery()?.x ?? plan.bay.x;
      slider.setAttribute("aria-valuetext", told("place", Number(slider.value)));
      for (const field of inputs) if (field.input === place.firstChild) field.refresh();
    };
    choice.addEventListener("change", () => {
      entered.battery = choice.value === "" ? null : choice.value === "own" ? "own" : Number(choice.value);
      entered.batteryX = null;
      changed();
      refresh();
    });
    slider.addEventListener("input", () => {
      entered.batteryX = Number(slider.value);
      changed();
      refresh();
    });
    place.firstChild.addEventListener("change", refresh);
    set.append(
      pgMake("label", {}, "Flies with ", choice),
      pgMake("label", {}, "It weighs ", mass),
      pgMake("label", {}, "Its middle sits at x ", place),
      pgMake("label", { class: "pg-bench-slide" }, "Slide it ", slider),
    );
    refresh();
  }

  function wholeFields() {
    const set = box.querySelector(".pg-bench-whole");
    const tick = pgMake("input", { type: "checkbox", ".checked": entered.whole !== null });
    const plain = () => balanceCore.answer(plan.model, plan.things, null) ?? { mass: 0, from_root: 0 };
    const mass = numberField("mass", "Mass of the finished model without its battery",
      () => entered.whole?.mass ?? plain().mass, (value) => { entered.whole.mass = value; });
    const root = numberField("place", "Balances without its battery, behind the root leading edge",
      () => entered.whole?.root ?? plain().from_root, (value) => { entered.whole.root = value; });
    const rest = pgMake("div", {}, pgMake("label", {}, "It weighs ", mass),
      pgMake("label", {}, "It balances, behind the wing's root leading edge, at ", root));
    const refresh = () => {
      rest.hidden = !tick.checked;
      box.querySelector(".pg-bench-things").parentElement.hidden = tick.checked;
      buttons.querySelector("[data-add]").hidden = tick.checked;
    };
    tick.addEventListener("change", () => {
      entered.whole = tick.checked ? { mass: plain().mass, root: plain().from_root } : null;
      for (const field of inputs) field.refresh();
      refresh();
      changed();
    });
    set.append(pgMake("label", { class: "pg-bench-tick" }, tick, " I have weighed and balanced the finished model without its battery"), rest);
    refresh();
  }

  function thingRow(thing, number) {
    const of = (key) => entered.things[number]?.[key] ?? thing[key];
    const write = (key) => (value) => {
      entered.things[number] = { ...entered.things[number], [key]: value };
    };
    const tick = pgMake("input", { type: "checkbox", ".checked": !entered.things[number]?.off });
    const row = pgMake("tr", {});
    const refresh = () => row.classList.toggle("pg-bench-off-board", !tick.checked);
    tick.addEventListener("change", () => {
      const { off, ...rest } = entered.things[number] ?? {};
      entered.things[number] = tick.checked ? rest : { ...rest, off: true };
      refresh();
      changed();
    });
    refresh();
    row.append(pgMake("th", { scope: "row" }, pgMake("label", { class: "pg-bench-tick" }, tick, ` ${thing.name}`),
      pgMake("small", {}, `${thing.group}${thing.weighed ? ", weighed by the designer" : ""}`)));
    row.append(pgMake("td", { class: "pg-n" }, numberField("mass", `Mass of ${thing.name}`, () => of("mass"), write("mass"))));
    for (const axis of AXES) {
      row.append(pgMake("td", { class: "pg-n" },
        numberField("place", `${axis} of ${thing.name}`, () => of(axis), write(axis))));
    }
    return row;
  }

  function extraRow(thing) {
    const name = pgMake("input", { type: "text", maxlength: 60, "aria-label": "What it is", ".value": thing.name });
    name.addEventListener("input", () => { thing.name = name.value; keep(); });
    const gone = pgMake("button", { type: "button", "aria-label": "Take it out again" }, "Take out");
    const row = pgMake("tr", {}, pgMake("th", { scope: "row" }, name, gone));
    gone.addEventListener("click", () => {
      entered.extra.splice(entered.extra.indexOf(thing), 1);
      row.remove();
      buttons.querySelector("[data-add]").focus();
      changed();
    });
    const write = (key) => (value) => { thing[key] = value; };
    row.append(pgMake("td", { class: "pg-n" }, numberField("mass", "Mass of it", () => thing.mass, write("mass"))));
    for (const axis of AXES) {
      row.append(pgMake("td", { class: "pg-n" }, numberField("place", `${axis} of it`, () => thing[axis], write(axis))));
    }
    return row;
  }

  const body = box.querySelector(".pg-bench-things tbody");
  const buttons = box.querySelector(".pg-bench-buttons");

  function button(title, act, data = {}) {
    const one = pgMake("button", { type: "button", class: "pg-button", ...data }, title);
    one.addEventListener("click", act);
    buttons.append(one);
    return one;
  }

  function fileButton() {
    const file = pgMake("input", { type: "file", accept: ".json,application/json", class: "pg-bench-file" });
    file.addEventListener("change", async () => {
      const [chosen] = file.files;
      if (!chosen) return;
      try {
        if (chosen.size > 100_000) throw new Error("too large");
        const read = JSON.parse(await chosen.text());
        if (read.plansgen_bench !== 1) throw new Error("another kind of file");
        if (read.design !== plan.design) throw new Error(`it is for ${String(read.design).slice(0, 60)}`);
        restart(read.entered);
        news.textContent = read.revision === plan.revision ? "Read." :
          `Read; it was made for revision ${String(read.revision).slice(0, 3)}, this is ${plan.revision}.`;
      } catch (error) {
        news.textContent = `This file was not read: ${error.message}.`;
      }
      file.value = "";
    });
    buttons.append(pgMake("label", { class: "pg-button" }, "Read a file ", file));
  }

  function makeButtons() {
    button("Add a thing", () => {
      if (entered.extra.length >= MOST) return;
      const thing = { name: "", mass: 0.01, x: plan.model.places.nose, y: 0, z: 0 };
      entered.extra.push(thing);
      const row = extraRow(thing);
      body.append(row);
      row.querySelector("input").focus();
      changed();
    }, { "data-add": "" });
    button("Copy a link", async () => {
      const address = new URL(location.href);
      address.hash = `model=${encode(entered)}`;
      try {
        await navigator.clipboard.writeText(address.href);
        news.textContent = "A link to this model is on the clipboard.";
      } catch {
        history.replaceState(history.state, "", address);
        news.textContent = "The link now stands in the address bar; copy it from there.";
      }
    });
    button("Save a file", () => {
      const data = { plansgen_bench: 1, design: plan.design, revision: plan.revision, entered };
      const blob = new Blob([`${JSON.stringify(data, null, 1)}\n`], { type: "application/json" });
      const link = pgMake("a", { href: URL.createObjectURL(blob), download: `${plan.design}-my-model.json` });
      link.click();
      setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
    });
    fileButton();
    button("Print", () => print());
    button("Back to the plan's figures", () => {
      restart(null);
      news.textContent = "The plan's own figures stand again.";
    });
  }

  function fill() {
    inputs.length = 0;
    for (const set of box.querySelectorAll("fieldset")) {
      set.replaceChildren(set.querySelector("legend"));
    }
    body.replaceChildren(...plan.things.map(thingRow), ...entered.extra.map(extraRow));
    batteryFields();
    wholeFields();
    show();
  }

  function restart(given) {
    entered = cleaned(given);
    quiet = true;
    keep();
    fill();
  }

  function fromLink() {
    const found = /^#model=([\w-]{1,20000})$/.exec(location.hash);
    if (!found) return null;
    try {
      return decode(found[1]);
    } catch {
      news.textContent = "The link to a model is damaged; these are the plan's figures.";
      return null;
    }
  }

  form.addEventListener("submit", (event) => event.preventDefault());
  box.querySelector(".pg-bench-off").remove();
  makeButtons();
  entered = cleaned(fromLink() ?? __md_get(KEY));
  fill();
  form.hidden = answers.hidden = false;
  pgUnits.onChange(fill);
})();
