// The balance of a builder's own model, with the formulas of plansgen's balance
// (balance/bench.py and what it calls): a test holds both to the same answers.
// Kilograms, metres, metres a second; null where something is not known.

const balanceCore = (() => {
  const GRAVITY = 9.80665;
  const TEN_GRAMS = 0.01;
  const NEAR = 1e-9; // a nanometre: rounding, no distance

  const clamp = (value, low, high) => Math.min(Math.max(value, low), high);

  /** How far the balance point moves when a mass is added somewhere; positive is aft. */
  function shift(state, added, at) {
    return (added * (at - state.x)) / (state.mass + added);
  }

  /** Ballast that brings the balance point onto the target, from moments about the target. */
  function ballastFor(mass, x, target, places) {
    const at = x > target ? places.nose : places.tail;
    const needed = at === target ? -1 : (mass * (target - x)) / (at - target);
    return needed > 0 ? { mass: needed, at, total: mass + needed } : null;
  }

  function remedy(state, target, battery, places) {
    const offset = state.x - target.x;
    const within = state.x >= target.forward - NEAR && state.x <= target.aft + NEAR;
    let slide = null;
    let batteryX = null;
    let x = state.x;
    let reached = Math.abs(offset) < NEAR;
    if (battery) {
      slide = (-offset * state.mass) / battery.mass;
      batteryX = clamp(battery.x + slide, battery.foremost, battery.aftmost);
      reached = Math.abs(battery.x + slide - batteryX) < NEAR;
      x = state.x + ((batteryX - battery.x) * battery.mass) / state.mass;
    }
    const ballast = reached ? null : ballastFor(state.mass, x, target.x, places);
    return { offset, within, slide, batteryX, reached, ballast };
  }

  /**
   * Balance, margin, loading and stall.
   *
   * model: {area, span, mac, macX, rootX, target: {x, forward, aft} or null,
   * places: {nose, tail}, neutralX, liftMax, density}. things: [{mass, x, y, z}], all
   * that flies but the battery. battery: {mass, x, y, z, foremost, aftmost} or null.
   * Returns null when nothing weighs anything.
   */
  function answer(model, things, battery) {
    const all = battery ? [...things, battery] : things;
    const sum = (of) => all.reduce((total, thing) => total + of(thing), 0);
    const mass = sum((thing) => thing.mass);
    if (!(mass > 0)) return null;
    const [x, y, z] = ["x", "y", "z"].map((axis) => sum((t) => t.mass * t[axis]) / mass);
    const state = { mass, x };
    const movable = battery && battery.mass > 0 ? battery : null;
    const found = model.target ? remedy(state, model.target, movable, model.places) : null;
    const side = Math.abs(y) > NEAR ? y : 0;
    return {
      mass,
      x,
      y: side,
      z,
      from_root: x - model.rootX,
      mac_share: (x - model.macX) / model.mac,
      wing_loading: mass / model.area,
      cubic_loading: mass / model.area ** 1.5,
      offset: found && found.offset,
      within: found && found.within,
      slide: found && found.slide,
      battery_x: found && found.batteryX,
      reached: found && found.reached,
      ballast: found?.ballast ? found.ballast.mass : null,
      ballast_x: found?.ballast ? found.ballast.at : null,
      total: found?.ballast ? found.ballast.total : null,
      ten_nose: shift(state, TEN_GRAMS, model.places.nose),
      ten_tail: shift(state, TEN_GRAMS, model.places.tail),
      tip_ballast: (mass * Math.abs(side)) / (model.span / 2),
      static_margin: model.neutralX === null ? null : (model.neutralX - x) / model.mac,
      stall_speed:
        model.liftMax === null
          ? null
          : Math.sqrt((2 * mass * GRAVITY) / (model.density * model.area * model.liftMax)),
    };
  }

  return { answer };
})();
