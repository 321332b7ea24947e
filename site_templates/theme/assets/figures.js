// Drawings full screen: pinch, wheel, buttons or keys to zoom, drag or arrows to move. A
// drawing with layers (data-layers: [{name, title, words}]) shows each as a picture of the
// same size laid over it, so this works from a folder too.

(() => {
  const MOST = 16; // times the size that fits the screen
  const STEP = 1.4;

  const stage = pgMake("div", { class: "pg-look-stage", tabindex: "0", role: "group" });
  const sheet = pgMake("div", { class: "pg-look-sheet" });
  const bar = pgMake("div", { class: "pg-look-bar" });
  const news = pgMake("ul", { class: "pg-look-news", role: "status" });
  const dialog = pgMake("dialog", { class: "pg-look" }, bar, news, stage);
  stage.append(sheet);
  document.body.append(dialog);

  let ratio = 1;
  let zoom = 1; // 1: the whole drawing fits
  let left = 0;
  let top = 0;

  const fitWidth = () => Math.min(stage.clientWidth, stage.clientHeight * ratio);

  function place() {
    const width = fitWidth() * zoom;
    const height = width / ratio;
    // never further away than the edge of the screen; centred while it is smaller
    const held = (value, size, room) =>
      size <= room ? (room - size) / 2 : Math.min(0, Math.max(room - size, value));
    left = held(left, width, stage.clientWidth);
    top = held(top, height, stage.clientHeight);
    sheet.style.width = `${width}px`;
    sheet.style.height = `${height}px`;
    sheet.style.transform = `translate(${left}px, ${top}px)`;
  }

  /** Zoom so that the place under (x, y) of the stage stays there. */
  function zoomBy(factor, x = stage.clientWidth / 2, y = stage.clientHeight / 2) {
    const next = Math.min(MOST, Math.max(1, zoom * factor));
    left = x - ((x - left) * next) / zoom;
    top = y - ((y - top) * next) / zoom;
    zoom = next;
    place();
  }
  function moveBy(dx, dy) {
    left += dx;
    top += dy;
    place();
  }
  function whole() {
    zoom = 1;
    place();
  }

  // --- fingers, wheel, keys ----------------------------------------------------------------

  const fingers = new Map();
  const onStage = (event) => {
    const box = stage.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const spread = ([[ax, ay], [bx, by]]) => [Math.hypot(ax - bx, ay - by), (ax + bx) / 2, (ay + by) / 2];

  stage.addEventListener("pointerdown", (event) => {
    stage.setPointerCapture(event.pointerId);
    fingers.set(event.pointerId, onStage(event));
  });
  stage.addEventListener("pointermove", (event) => {
    const before = fingers.get(event.pointerId);
    if (!before) return;
    const now = onStage(event);
    if (fingers.size === 2) {
      const [far, x, y] = spread([...fingers.values()]);
      fingers.set(event.pointerId, now);
      const [wide, nx, ny] = spread([...fingers.values()]);
      moveBy(nx - x, ny - y);
      if (far > 0) zoomBy(wide / far, nx, ny);
    } else {
      fingers.set(event.pointerId, now);
      moveBy(now[0] - before[0], now[1] - before[1]);
    }
  });
  for (const end of ["pointerup", "pointercancel"]) {
    stage.addEventListener(end, (event) => fingers.delete(event.pointerId));
  }
  stage.addEventListener("dblclick", (event) => (zoom > 1 ? whole() : zoomBy(4, ...onStage(event))));
  stage.addEventListener(
    "wheel",
    (event) => {
      event.preventDefault();
      zoomBy(2 ** (-event.deltaY / 300), ...onStage(event));
    },
    { passive: false },
  );
  const far = 60; // px of one press of an arrow
  const KEYS = {
    "+": () => zoomBy(STEP),
    "=": () => zoomBy(STEP),
    "-": () => zoomBy(1 / STEP),
    "0": whole,
    ArrowLeft: () => moveBy(far, 0),
    ArrowRight: () => moveBy(-far, 0),
    ArrowUp: () => moveBy(0, far),
    ArrowDown: () => moveBy(0, -far),
  };
  dialog.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !(event.key in KEYS)) return;
    event.preventDefault();
    KEYS[event.key]();
  });
  addEventListener("resize", () => dialog.open && place());

  // --- one figure --------------------------------------------------------------------------

  const shown = (figure) =>
    [...figure.querySelectorAll("img")].find((image) => image.checkVisibility()) ??
    figure.querySelector("img");

  function layersOf(figure, picture) {
    return JSON.parse(figure.dataset.layers ?? "[]").map(({ name, title, words }) => {
      const source = picture.src.replace(/(-dark)?\.svg$/, (end) => `-${name}${end}`);
      const image = pgMake("img", { src: source, alt: words, draggable: "false" });
      const line = pgMake("li", {}, words);
      image.hidden = line.hidden = true;
      news.append(line);
      const toggle = pgButton(
        title,
        () => {
          image.hidden = line.hidden = !image.hidden;
          toggle.setAttribute("aria-pressed", String(!image.hidden));
          place(); // the words take room from the drawing
        },
        { "aria-pressed": "false" },
      );
      return [image, toggle];
    });
  }

  function open(figure) {
    const picture = shown(figure);
    const title = figure.querySelector("figcaption")?.firstChild?.textContent.trim() || picture.alt;
    ratio = +picture.getAttribute("width") / +picture.getAttribute("height") || 1;
    news.replaceChildren();
    const layers = layersOf(figure, picture);
    sheet.replaceChildren(
      pgMake("img", { src: picture.src, alt: picture.alt, draggable: "false" }),
      ...layers.map(([image]) => image),
    );
    bar.replaceChildren(
      pgButton("+", () => zoomBy(STEP), { "aria-label": "Nearer" }),
      pgButton("\u2212", () => zoomBy(1 / STEP), { "aria-label": "Farther" }),
      pgButton("Whole", whole),
      ...layers.map(([, toggle]) => toggle),
      pgButton("Close", () => dialog.close(), { class: "pg-look-close" }),
    );
    dialog.setAttribute("aria-label", title);
    stage.setAttribute("aria-label", "Drawing; arrow keys move it, plus and minus zoom");
    fingers.clear();
    dialog.showModal();
    whole();
    stage.focus();
  }

  for (const figure of document.querySelectorAll("figure.pg-figure")) {
    if (!figure.querySelector("img[width][height]")) continue;
    const text = figure.dataset.layers ? "Full screen, with layers" : "Full screen";
    figure.append(pgButton(text, () => open(figure), { class: "pg-look-open" }));
  }
})();
