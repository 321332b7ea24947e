"""The front view: the model from ahead, with dihedral and heights."""

from __future__ import annotations

import math
from itertools import pairwise

from plansgen.airframe.build import LiftingSurface
from plansgen.dossier import Dossier
from plansgen.figures import symbols
from plansgen.figures.blocks import balance_rows, caption, draw_key, make_sheet, mm, widened
from plansgen.figures.dimensions import Dim, angle, stack_horizontal, stack_vertical
from plansgen.figures.paper import choose_paper
from plansgen.figures.projection import bounds, draw_airframe
from plansgen.figures.save import Drawing, finish
from plansgen.figures.sheet import Sheet
from plansgen.figures.tiers import TAIL_MM
from plansgen.figures.view import View
from plansgen.library.models import Credits

_TOP_MM, _BOTTOM_MM, _SIDE_MM = 14.0, 32.0, 17.0
_LEAST_ANGLE = math.radians(0.5)
_VALUE_CLEAR_MM = 1.5
_LEAST_PANEL_MM = 24.0  # shorter panels have no room for an angle


def draw_front(dossier: Dossier, credits: Credits) -> Drawing:
    """Draw the front view of a design."""
    airframe = dossier.airframe
    ready = dossier.balance.ready
    places = [(-ready.state.y, ready.state.z)] if ready else []
    low, high = widened(*bounds(airframe, "ahead"), places)
    area = Sheet().drawing_area.inset(top=_TOP_MM, bottom=_BOTTOM_MM, left=_SIDE_MM, right=_SIDE_MM)
    setup = choose_paper(width_m=high[0] - low[0], height_m=high[1] - low[1], area=area)
    sheet = make_sheet(dossier, credits, "front", setup)
    view = View.centred(sheet, setup.scale, low_m=low, high_m=high, area=area)
    draw_airframe(view, airframe, "ahead")
    view.centre_line((0.0, low[1]), (0.0, high[1]))
    if ready is not None:
        symbols.balance_point(view, -ready.state.y, ready.state.z)
    wings = [airframe.surface(key) for key in airframe.reference.wings]
    wing = max(wings, key=lambda surface: surface.planform.span)
    _draw_dihedral(view, wing)
    _draw_dimensions(view, dossier, wing)
    draw_key(sheet, [row for row in balance_rows(dossier) if row.sign == "balance"])
    drawing = finish(
        sheet.figure(),
        name="front",
        alt=_alt(dossier, wing),
        caption=caption("front", setup),
        printed=True,
    )
    return setup.printed(drawing)


def panel_angles(wing: LiftingSurface) -> list[tuple[float, float, float]]:
    """Dihedral of each panel [rad], and the y and z of its inboard end [m]."""
    return [
        (math.atan2(outer.z - inner.z, outer.y - inner.y), inner.y, inner.z)
        for inner, outer in pairwise(wing.stations)
    ]


def _draw_dihedral(view: View, wing: LiftingSurface) -> None:
    """An angle at the inboard end of each panel of the port wing, on the right of the sheet."""
    for (turned, y, z), (inner, outer) in zip(
        panel_angles(wing), pairwise(wing.stations), strict=True
    ):
        room = view.mm(outer.y - inner.y)
        if turned < _LEAST_ANGLE or turned > math.radians(60) or room < _LEAST_PANEL_MM:
            continue
        radius = min(0.45 * room, 40.0)
        view.narrow([(y, z), (y + 1.1 * radius / view.mm(1.0), z)])
        degrees = math.degrees(turned)
        angle(view, (y, z), start_deg=0.0, end_deg=degrees, label="", radius_mm=radius)
        # Its value stands clear of the wing, over the arc's upper end.
        end = turned + TAIL_MM / radius
        skin = radius * math.tan(turned) + view.mm(inner.thickness * inner.chord / 2)
        words = f"{degrees:.1f}".removesuffix(".0") + "°"
        lift = max(radius * math.sin(end), skin) + _VALUE_CLEAR_MM
        view.text(
            y,
            z,
            words,
            dx_mm=radius * math.cos(end),
            dy_mm=lift,
            role="thin",
            align="center",
        )


def _draw_dimensions(view: View, dossier: Dossier, wing: LiftingSurface) -> None:
    extents, tip = dossier.airframe.extents, wing.stations[-1]
    below = [
        Dim(0.0, -station.y, mm(station.y), station.z)
        for station in wing.stations[1:]
        if station.y > 0.0
    ]
    below.append(Dim(-tip.y, tip.y, mm(2 * tip.y), tip.z))
    stack_horizontal(view, below[-3:], "below", start_mm=8.0)
    heights = []
    rise = tip.z - wing.stations[0].z
    if abs(view.mm(rise)) > 2.0:
        heights.append(Dim(wing.stations[0].z, tip.z, mm(abs(rise)), 0.0, tip.y))
    stack_vertical(view, heights, "right", start_mm=8.0)
    whole = extents.z_max - extents.z_min
    stack_vertical(view, [Dim(extents.z_min, extents.z_max, mm(whole), 0.0)], "left", start_mm=8.0)


def _alt(dossier: Dossier, wing: LiftingSurface) -> str:
    extents = dossier.airframe.extents
    angles = ", ".join(f"{math.degrees(turned):.1f}" for turned, _, _ in panel_angles(wing))
    return (
        f"{dossier.name} from ahead: {mm(dossier.airframe.reference.span)} mm span and "
        f"{mm(extents.z_max - extents.z_min)} mm height. Dihedral of the wing's panels from the "
        f"root outboard, in degrees: {angles}."
    )
