"""The plan view: the model from above, nose up, with its balance point and mean chord."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from plansgen.airframe.build import LiftingSurface
from plansgen.airframe.layout import Reference
from plansgen.airframe.planform import StationPoint
from plansgen.dossier import Dossier
from plansgen.figures import symbols
from plansgen.figures.blocks import (
    Corner,
    KeyRow,
    balance_rows,
    caption,
    draw_key,
    make_sheet,
    mm,
    widened,
)
from plansgen.figures.canvas import Canvas
from plansgen.figures.dimensions import TIER_MM, Dim, stack_horizontal, stack_vertical
from plansgen.figures.lettering import width_mm
from plansgen.figures.paper import Setup, choose_paper
from plansgen.figures.projection import bounds, draw_airframe
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.figures.sheet import Sheet
from plansgen.figures.style import TEXT_MM, WORKED_OUT
from plansgen.figures.view import View
from plansgen.library.models import Credits

_BOTTOM_MM, _SIDE_MM = 9.0, 17.0
_BAND_SHARE = 0.09  # half width of the drawn band, as a share of the span
_WORKED_OUT_SHARE = 0.11  # that of the worked-out band, which shows on both sides of it
_LEAST_STATION_MM = 9.0  # nearer stations have no room for arrows and figure
_NARROW_MM = 20.0  # a shorter span's figure stands beside its line
_LEAST_CHORD_MM = 16.0  # shorter chords have no room for a figure
_FIRST_MM = 8.0  # to the first dimension line
_BESIDE_MM = 2.0  # from a line to the chord's figure beside it
_CHORD_CLEAR_MM = 8.0  # stations nearer than this to one another share one chord figure


@dataclass(frozen=True)
class PlanLayout:
    """Where the plan view lies on its sheet; its layers lie there too.

    low, high: lower left and upper right of what it shows. [m] area: room for it. [mm]
    """

    setup: Setup
    low: Corner
    high: Corner
    area: Rect
    spans: list[Dim]

    def view(self, canvas: Canvas) -> View:
        """The view on a sheet."""
        return View.centred(
            canvas, self.setup.scale, low_m=self.low, high_m=self.high, area=self.area
        )


def plan_layout(dossier: Dossier) -> PlanLayout:
    """Choose paper, scale and place of the plan view."""
    airframe = dossier.airframe
    wings = [airframe.surface(key) for key in airframe.reference.wings]
    low, high = widened(*bounds(airframe, "above"), _marked(dossier, wings))
    spans = _span_dims(max(wings, key=lambda surface: surface.planform.span))
    area = Sheet().drawing_area.inset(
        top=_FIRST_MM + TIER_MM * len(spans), bottom=_BOTTOM_MM, left=2.0, right=_SIDE_MM
    )
    setup = choose_paper(width_m=high[0] - low[0], height_m=high[1] - low[1], area=area)
    return PlanLayout(setup, low, high, area, spans)


def draw_plan(dossier: Dossier, credits: Credits) -> Drawing:
    """Draw the plan view of a design."""
    airframe = dossier.airframe
    wings = [airframe.surface(key) for key in airframe.reference.wings]
    layout = plan_layout(dossier)
    spans, setup, low, high = layout.spans, layout.setup, layout.low, layout.high
    sheet = make_sheet(dossier, credits, "plan", setup)
    view = layout.view(sheet)
    draw_airframe(view, airframe, "above")
    view.centre_line((0.0, low[1]), (0.0, high[1]))
    _draw_chords(view, dossier, wings[0])
    _draw_mean_chord(view, airframe.reference, wings)
    _draw_worked_out(view, dossier)
    _draw_balance(view, dossier)
    *inner, whole = spans
    legible = [dim for dim in inner if view.mm(dim.end - dim.start) >= _LEAST_STATION_MM]
    stack_horizontal(view, [*legible, whole], "above", start_mm=_FIRST_MM)
    _draw_dimensions(view, dossier, wings)
    mac = airframe.reference.mac
    key = [*balance_rows(dossier), *_worked_out_rows(dossier)]
    key.append(KeyRow("mac", f"mean chord (MAC) {mm(mac)}"))
    if airframe.propellers:
        key.append(KeyRow("propeller", "propeller disc"))
    draw_key(sheet, key)
    drawing = finish(
        sheet.figure(), name="plan", alt=_alt(dossier), caption=caption("plan", setup), printed=True
    )
    return setup.printed(drawing)


def _span_dims(wing: LiftingSurface) -> list[Dim]:
    """Distances out of the inner stations (the outermost two at most), and the span."""
    inner = [station for station in wing.stations[1:-1] if station.y > 0.0][-2:]
    tip = wing.stations[-1]
    dims = [Dim(0.0, station.y, mm(station.y), -station.x) for station in inner]
    return [*dims, Dim(-tip.y, tip.y, mm(2 * tip.y), -tip.x)]


def _draw_chords(view: View, dossier: Dossier, wing: LiftingSurface) -> None:
    """A line across the port wing at each inner station, its chord beside it, outboard."""
    last = None
    for station, outer in pairwise(wing.stations[1:]):
        view.narrow([(-station.y, -station.x), (-station.y, -station.x - station.chord)])
        side = _outboard_of(dossier, station.y)
        apart = last is None or abs(view.x(-station.y) - last) >= _CHORD_CLEAR_MM
        if apart and view.mm(outer.y - side) >= _CHORD_CLEAR_MM:
            _letter_chord(view, dossier, wing, station, side)
            last = view.x(-station.y)
    root, second = wing.stations[0], wing.stations[1]
    if abs(root.chord - second.chord) > 1e-6:
        side = _outboard_of(dossier, 0.0)
        if view.mm(second.y - side) > 2 * _CHORD_CLEAR_MM:
            _letter_chord(view, dossier, wing, root, side)


def _outboard_of(dossier: Dossier, y: float) -> float:
    """Outer side of the widest body that lies over or under a place of the wing. [m]"""
    sides = [
        frame.y + frame.width / 2
        for body in dossier.airframe.bodies
        for frame in body.frames
        if abs(frame.y - y) <= frame.width / 2
    ]
    return max(sides, default=y)


def _letter_chord(
    view: View, dossier: Dossier, wing: LiftingSurface, station: StationPoint, y: float
) -> None:
    """A station's chord in the free stretch between the target band and a control's hinge.

    Where that is too short there is none: the side view gives the root's chord as well.
    """
    if view.mm(station.chord) < _LEAST_CHORD_MM:
        return
    front, back = station.x, station.x + station.chord
    target = dossier.balance.target
    if target is not None and y < _BAND_SHARE * dossier.airframe.reference.span:
        front = max(front, target.aft_x)
    band = _worked_out(dossier)
    if band is not None and y < _WORKED_OUT_SHARE * dossier.airframe.reference.span:
        front = max(front, band[1])
    outer = station.span + y - station.y + (_BESIDE_MM + TEXT_MM) / view.mm(1.0)
    for control in wing.controls:
        if control.inboard <= outer and station.span <= control.outboard:
            back = min(back, station.x + (1 - control.chord_share) * station.chord)
    words = mm(station.chord)
    if width_mm(words) + 1.0 <= view.mm(back - front):
        middle = -(front + back) / 2
        view.text(-y, middle, words, dx_mm=-_BESIDE_MM, rotation=90, align="center", role="thin")


def _draw_mean_chord(view: View, reference: Reference, wings: list[LiftingSurface]) -> None:
    """The mean aerodynamic chord where it lies; on a plain taper with its construction."""
    y, x, chord = reference.mac_y, reference.mac_x, reference.mac
    for line in _taper_construction(wings):
        view.construction(line)
    view.construction([(y, -x), (y, -x - chord)])
    for place, half in ((x, 2.0), (reference.quarter_chord_x, 3.0), (x + chord, 2.0)):
        reach = half / view.mm(1.0)
        view.construction([(y - reach, -place), (y + reach, -place)])
    view.construction([(0.0, -reference.quarter_chord_x), (y, -reference.quarter_chord_x)])


def _taper_construction(wings: list[LiftingSurface]) -> list[list[Corner]]:
    """The textbook construction: each chord laid off beyond the other, joined by a diagonal.

    The diagonal meets the line of mid-chords where the mean aerodynamic chord lies. Only for one
    wing of a single tapered panel: where all chords are the same there is nothing to construct.
    Source: D. P. Raymer, *Aircraft Design: A Conceptual Approach*.
    """
    if len(wings) != 1 or len(wings[0].stations) != 2 or wings[0].planform.taper in (0.0, 1.0):
        return []
    root, tip = wings[0].stations
    below_root = (root.y, -(root.x + root.chord + tip.chord))
    above_tip = (tip.y, -(tip.x - root.chord))
    middles = [(root.y, -(root.x + root.chord / 2)), (tip.y, -(tip.x + tip.chord / 2))]
    return [[below_root, above_tip], middles]


def _marked(dossier: Dossier, wings: list[LiftingSurface]) -> list[Corner]:
    """Places beyond the model that the view must hold: construction, balance point and band."""
    places = [end for line in _taper_construction(wings) for end in line]
    target, ready = dossier.balance.target, dossier.balance.ready
    if target is not None:
        places += [(0.0, -target.forward_x), (0.0, -target.aft_x)]
    if ready is not None:
        places.append((ready.state.y, -ready.state.x))
    return places


def _worked_out(dossier: Dossier) -> tuple[float | None, float] | None:
    """Worked-out limits from the datum, power off; None without, or with no room between them.

    The forward one is None where it lies ahead of the model, or nothing limits it. [m]
    """
    if dossier.flight is None:
        return None
    limits, extents = dossier.flight.limits, dossier.airframe.extents
    forward = limits.forward.x if limits.forward else None
    if not extents.x_min <= limits.aft_x <= extents.x_max:
        return None
    if forward is not None and forward >= limits.aft_x:
        return None
    if forward is not None and forward < extents.x_min:
        forward = None
    return forward, limits.aft_x


def _draw_worked_out(view: View, dossier: Dossier) -> None:
    """The worked-out band as an outline, open ahead where nothing within the model limits it."""
    band = _worked_out(dossier)
    if band is None:
        return
    half, (forward, aft) = _WORKED_OUT_SHARE * dossier.airframe.reference.span, band
    front = dossier.airframe.extents.x_min if forward is None else forward
    outline = [(-half, -front), (-half, -aft), (half, -aft), (half, -front)]
    view.line(outline, WORKED_OUT, closed=forward is not None)


def _worked_out_rows(dossier: Dossier) -> list[KeyRow]:
    band = _worked_out(dossier)
    if band is None:
        return []
    words = _from_to(dossier.airframe.reference, band).removeprefix("from ")
    return [KeyRow("worked out", f"worked out {words} aft")]


def _from_to(reference: Reference, band: tuple[float | None, float]) -> str:
    """Limits in millimetres behind the root's leading edge, in words."""
    forward, aft = band
    end = mm(aft - reference.root_x)
    return f"up to {end}" if forward is None else f"from {mm(forward - reference.root_x)} to {end}"


def _draw_balance(view: View, dossier: Dossier) -> None:
    half = _BAND_SHARE * dossier.airframe.reference.span
    target, ready = dossier.balance.target, dossier.balance.ready
    if target is not None:
        symbols.target_band(view, low_m=(-half, -target.aft_x), high_m=(half, -target.forward_x))
    if ready is not None:
        symbols.balance_point(view, ready.state.y, -ready.state.x)


def _draw_dimensions(view: View, dossier: Dossier, wings: list[LiftingSurface]) -> None:
    """The tail's span below, the tip chord at starboard."""
    tip = max(wings, key=lambda surface: surface.planform.span).stations[-1]
    tails = [
        surface
        for surface in dossier.airframe.surfaces
        if surface.role in ("tailplane", "vee-tail", "canard") and surface.mirrored
    ]
    if tails:
        tail = max(tails, key=lambda surface: surface.stations[-1].y)
        end = tail.stations[-1]
        foot = -(end.x + end.chord)
        stack_horizontal(view, [Dim(-end.y, end.y, mm(2 * end.y), foot)], "below", start_mm=8.0)
    if tip.chord > 0.0:
        stack_vertical(
            view,
            [Dim(-(tip.x + tip.chord), -tip.x, mm(tip.chord), tip.y)],
            "right",
            # The figure of a span too short for it stands to the right of its line.
            start_mm=8.0 if view.mm(2 * tip.y) >= _NARROW_MM else 8.0 + _NARROW_MM,
        )


def _alt(dossier: Dossier) -> str:
    airframe, reference = dossier.airframe, dossier.airframe.reference
    words = [
        f"{dossier.name} from above, nose up: a {airframe.layout} layout of "
        f"{mm(reference.span)} mm span and {mm(airframe.extents.length)} mm length.",
        f"The mean aerodynamic chord is {mm(reference.mac)} mm long and lies "
        f"{mm(reference.mac_y)} mm from the centre line.",
    ]
    ready, target = dossier.balance.ready, dossier.balance.target
    if ready is not None:
        words.append(
            f"It balances {mm(ready.state.from_root)} mm behind the wing's root leading edge."
        )
    if target is not None:
        words.append(
            f"The band in which it may balance runs from {mm(target.forward_x - reference.root_x)} "
            f"to {mm(target.aft_x - reference.root_x)} mm behind that edge."
        )
    if (band := _worked_out(dossier)) is not None:
        words.append(f"The worked-out one runs {_from_to(reference, band)} mm behind it.")
    return " ".join(words)
