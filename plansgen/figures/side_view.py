"""The side view: the model from port, nose to the left, with its masses and lengths."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.figures import symbols
from plansgen.figures.blocks import (
    KeyRow,
    balance_rows,
    caption,
    draw_key,
    draw_legend,
    legend_height,
    make_sheet,
    mm,
    widened,
)
from plansgen.figures.dimensions import Dim, stack_horizontal, stack_vertical
from plansgen.figures.leaders import label_points
from plansgen.figures.paper import choose_paper
from plansgen.figures.projection import bounds, draw_airframe
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.figures.sheet import Sheet
from plansgen.figures.view import View
from plansgen.library.models import Credits

_BALLOON_MM, _BOTTOM_MM, _RIGHT_MM = 20.0, 32.0, 18.0
_COLUMNS = 3
_MOST_LABELS = 15


def draw_side(dossier: Dossier, credits: Credits) -> Drawing:
    """Draw the side view of a design."""
    airframe = dossier.airframe
    masses = _masses(dossier)
    places = [(x, z) for x, z, _ in masses]
    if ready := dossier.balance.ready:
        places.append((ready.state.x, ready.state.z))
    low, high = widened(*bounds(airframe, "port"), places)
    whole = Sheet().drawing_area
    legend = legend_height(len(masses), _COLUMNS)
    area = whole.inset(top=legend + _BALLOON_MM, bottom=_BOTTOM_MM, right=_RIGHT_MM)
    setup = choose_paper(width_m=high[0] - low[0], height_m=high[1] - low[1], area=area)
    sheet = make_sheet(dossier, credits, "side", setup)
    view = View.centred(sheet, setup.scale, low_m=low, high_m=high, area=area)
    draw_airframe(view, airframe, "port")
    for x, z, _ in masses:
        symbols.mass_mark(view, x, z)
    _draw_balance(view, dossier)
    if masses:
        row = Rect(whole.left, view.box.top, whole.right, view.box.top + _BALLOON_MM)
        words = label_points(view, masses, "above", start_mm=6.0, within=row)
        draw_legend(sheet, words, whole, columns=_COLUMNS)
    _draw_dimensions(view, dossier)
    key = [*balance_rows(dossier), KeyRow("mass", "masses, numbered above")]
    draw_key(sheet, key if masses else balance_rows(dossier))
    drawing = finish(
        sheet.figure(),
        name="side",
        alt=_alt(dossier, masses),
        caption=caption("side", setup),
        printed=True,
    )
    return setup.printed(drawing)


def _masses(dossier: Dossier) -> list[tuple[float, float, str]]:
    """The battery and the heaviest equipment: x, z and words.

    The mass stands first, so that it is not lost where a long name is cut.
    """
    lines = [line for line in dossier.balance.lines if line.group == "equipment"]
    lines.sort(key=lambda line: (-line.mass, line.name))
    ready = dossier.balance.ready
    found = []
    if ready is not None and ready.battery_x is not None and ready.battery_mass:
        found.append((ready.battery_x, ready.battery_z or 0.0, "battery", ready.battery_mass))
    found += [(line.x, line.z, line.name.split(",")[0].strip(), line.mass) for line in lines]
    return [(x, z, f"{mass * 1000:.0f} g {name}") for x, z, name, mass in found[:_MOST_LABELS]]


def _draw_balance(view: View, dossier: Dossier) -> None:
    ready = dossier.balance.ready
    if ready is not None:
        symbols.balance_point(view, ready.state.x, ready.state.z)


def _draw_dimensions(view: View, dossier: Dossier) -> None:
    """From the datum to the wing, on to the balance point, the tail arm, and all over."""
    airframe = dossier.airframe
    reference, extents = airframe.reference, airframe.extents
    wing = airframe.surface(reference.wings[0]).stations[0]
    below = [
        Dim(extents.x_min, extents.x_max, mm(extents.length), extents.z_min),
        Dim(wing.x, wing.x + wing.chord, mm(wing.chord), wing.z),
    ]
    if wing.x - extents.x_min > 1e-3:
        below.append(Dim(extents.x_min, wing.x, mm(wing.x - extents.x_min), wing.z))
    arms = [tail for tail in airframe.tails if tail.arm > 0.0]
    if arms:
        tail = max(arms, key=lambda volume: (volume.direction == "horizontal", volume.arm))
        start = reference.quarter_chord_x
        surface = airframe.surface(tail.surface)
        below.append(
            Dim(
                start,
                start + tail.arm,
                f"tail arm {mm(tail.arm)}",
                wing.z,
                surface.planform.mac_z,
            )
        )
    stack_horizontal(view, below, "below", start_mm=8.0)
    height = extents.z_max - extents.z_min
    stack_vertical(
        view,
        [Dim(extents.z_min, extents.z_max, mm(height), extents.x_max)],
        "right",
        start_mm=8.0,
    )


def _alt(dossier: Dossier, masses: list[tuple[float, float, str]]) -> str:
    extents = dossier.airframe.extents
    words = [
        f"{dossier.name} from port, nose to the left: {mm(extents.length)} mm long and "
        f"{mm(extents.z_max - extents.z_min)} mm high."
    ]
    if masses:
        named = "; ".join(f"{text} at x {mm(x)} mm" for x, _, text in masses)
        words.append(f"Masses marked: {named}.")
    return " ".join(words)
