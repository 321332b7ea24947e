"""The balance as a lever: masses hang on a beam that rests on its target."""

from __future__ import annotations

from dataclasses import dataclass

from plansgen.dossier import Dossier
from plansgen.figures import style, symbols
from plansgen.figures.blocks import draw_legend, loaded, mm
from plansgen.figures.canvas import Canvas
from plansgen.figures.dimensions import arrowhead
from plansgen.figures.leaders import label_points
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Free, Rect
from plansgen.figures.view import View

WIDTH_MM, HEIGHT_MM = 190.0, 130.0
_BEAM_MM = 62.0  # height of the beam above the foot of the canvas
_LONGEST_MM = 34.0  # longest arrow
_MARGIN_MM = 14.0
_MOST = 11  # masses shown one by one; the lighter rest hang together


@dataclass(frozen=True)
class Load:
    """What hangs at one place of the beam."""

    name: str
    mass: float
    x: float


def loads_of(dossier: Dossier) -> list[Load]:
    """Each group of parts, each bought thing and the battery; the lightest of them as one."""
    groups: dict[str, tuple[float, float]] = {}
    for line in dossier.balance.lines:
        name = line.name.split(",")[0] if line.group == "equipment" else line.group
        mass, moment = groups.get(name, (0.0, 0.0))
        groups[name] = mass + line.mass, moment + line.mass * line.x
    loads = [Load(name, mass, moment / mass) for name, (mass, moment) in groups.items()]
    ready = dossier.balance.ready
    if ready is not None and ready.battery_mass and ready.battery_x is not None:
        loads.append(Load("battery", ready.battery_mass, ready.battery_x))
    loads.sort(key=lambda load: (-load.mass, load.name))
    shown, rest = loads[:_MOST], loads[_MOST:]
    if rest:
        mass = sum(load.mass for load in rest)
        shown.append(Load("the rest", mass, sum(load.mass * load.x for load in rest) / mass))
    return shown


def draw_balance(dossier: Dossier) -> Drawing:
    """Draw the lever picture of the model ready to fly."""
    loads = loads_of(dossier)
    extents = dossier.airframe.extents
    low = min([extents.x_min, *(load.x for load in loads)])
    high = max([extents.x_max, *(load.x for load in loads)])
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=HEIGHT_MM)
    per_metre = (WIDTH_MM - 2 * _MARGIN_MM) / (high - low)
    view = View(
        canvas,
        Free(per_metre=per_metre),
        origin_mm=(_MARGIN_MM, _BEAM_MM),
        datum_m=(low, 0.0),
    )
    _draw_band(view, dossier)
    view.edge([(low, 0.0), (high, 0.0)])
    _draw_loads(view, loads)
    _draw_support(view, dossier)
    _draw_ruler(view, dossier, low, high)
    return finish(
        canvas.figure(),
        name="balance",
        alt=_alt(dossier, loads),
        caption=f"The balance as a lever, {loaded(dossier)}: arrows as long as the masses are "
        "heavy, x in mm aft of the datum.",
    )


def _draw_band(view: View, dossier: Dossier) -> None:
    target = dossier.balance.target
    if target is not None:
        half = 4.0 / view.mm(1.0)
        symbols.target_band(view, low_m=(target.forward_x, -half), high_m=(target.aft_x, half))


def _draw_loads(view: View, loads: list[Load]) -> None:
    heaviest = max(load.mass for load in loads)
    for load in loads:
        x = view.x(load.x)
        length = max(_LONGEST_MM * load.mass / heaviest, 3.2)
        view.canvas.line(
            [(x, _BEAM_MM), (x, _BEAM_MM - length)], style.LineType(style.WIDE_MM, "mass")
        )
        arrowhead(view.canvas, (x, _BEAM_MM - length), direction_deg=270, role="mass")
    points = [(load.x, 0.0, f"{load.mass * 1000:.0f} g {load.name}") for load in loads]
    row = Rect(2.0, _BEAM_MM, WIDTH_MM - 2.0, _BEAM_MM + 26.0)
    words = label_points(view, points, "above", start_mm=9.0, within=row)
    draw_legend(view.canvas, words, Rect(2.0, row.top, WIDTH_MM - 2.0, HEIGHT_MM - 2.0), columns=2)


def _draw_support(view: View, dossier: Dossier) -> None:
    """A knife edge under the target, and the mark where the model really balances."""
    target, ready = dossier.balance.target, dossier.balance.ready
    if target is not None:
        x = view.x(target.x)
        foot = _BEAM_MM - 6.5
        view.canvas.mark([(x, _BEAM_MM), (x - 3.2, foot), (x + 3.2, foot)], "band_line")
    if ready is not None:
        symbols.balance_point(view, ready.state.x, 0.0)


def _draw_ruler(view: View, dossier: Dossier, low: float, high: float) -> None:
    """Round places from the datum along the foot, and what they are."""
    base = 16.0
    step = next(
        s for s in (0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 50.0) if view.mm(s) >= 15
    )
    view.canvas.line([(view.x(low), base), (view.x(high), base)], style.NARROW)
    first = int(low // step)
    for number in range(first, int(high // step) + 2):
        place = number * step
        if low - 1e-9 <= place <= high + 1e-9:
            x = view.x(place)
            view.canvas.line([(x, base), (x, base + 2.0)], style.NARROW)
            view.canvas.text(x, base - 1.5, mm(place), align="center", level="top", role="thin")
    target, ready = dossier.balance.target, dossier.balance.ready
    words = []
    if ready is not None:
        words.append(f"balances at x {mm(ready.state.x)}")
    if target is not None:
        words.append(f"target x {mm(target.x)}")
        words.append(f"allowed {mm(target.forward_x)} to {mm(target.aft_x)}")
    view.canvas.text(WIDTH_MM / 2, 3.0, "; ".join(words), align="center")


def _alt(dossier: Dossier, loads: list[Load]) -> str:
    named = "; ".join(f"{load.name} {load.mass * 1000:.0f} g at {mm(load.x)} mm" for load in loads)
    ready, target = dossier.balance.ready, dossier.balance.target
    words = [f"Lever picture of {dossier.name}. Masses and their places aft of the datum: {named}."]
    if ready is not None:
        words.append(f"The balance point lies at {mm(ready.state.x)} mm.")
    if target is not None:
        words.append(
            f"The target lies at {mm(target.x)} mm, allowed from {mm(target.forward_x)} to "
            f"{mm(target.aft_x)} mm."
        )
    return " ".join(words)
