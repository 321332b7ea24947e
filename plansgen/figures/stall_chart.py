"""Where it stalls first: the lift of each strip against what its section can give."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.figures.axis import Axis
from plansgen.figures.blocks import mm
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart import FIRST, SECOND, Chart, End
from plansgen.figures.chart_key import BALLOONS_MM, KeyRow, draw_notes, mark_places, notes_height
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.flight.result import FlightResult
from plansgen.flight.stall import StripMargin

WIDTH_MM = 190.0
_LEFT_MM, _RIGHT_MM = 26.0, 160.0
_CHART_MM, _AXIS_MM = 70.0, 18.0
_CENTRE = 0.03  # of the half span: nearer in is as good as the centre


def strips_of(flight: FlightResult) -> list[StripMargin]:
    """Strips of the surface that stalls first, from the centre to one tip."""
    strips = [s for s in flight.stall.strips if s.surface == flight.stall.first_surface]
    half = [strip for strip in strips if strip.y >= 0.0] or strips
    return sorted(half, key=lambda strip: abs(strip.y))


def draw_stall(dossier: Dossier, flight: FlightResult) -> Drawing:
    """Draw the chart of the first surface at the stall."""
    strips, stall = strips_of(flight), flight.stall
    key = [
        KeyRow(FIRST, f"section lift coefficient at the stall, {stall.speed:.1f} m/s"),
        KeyRow(SECOND, "most that the section can give"),
        KeyRow("spread", f"within ± {stall.lift_max_spread * 100:.0f} %: one standard deviation"),
    ]
    notes = notes_height(1, key)
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=notes + _AXIS_MM + _CHART_MM + BALLOONS_MM + 4.0)
    chart = _chart(canvas, dossier, flight, foot=notes + _AXIS_MM + 2.0)
    # A strip that pushes down, or is nearer to its least lift, has no upper limit to show.
    upper = [strip for strip in strips if strip.limit > 0.0]
    spread = stall.lift_max_spread
    chart.between(
        [mm_of(strip) for strip in upper],
        [strip.limit * (1 - spread) for strip in upper],
        [strip.limit * (1 + spread) for strip in upper],
    )
    chart.line([(mm_of(s), s.limit if s.limit > 0.0 else None) for s in strips], SECOND)
    chart.line([(mm_of(strip), strip.lift) for strip in strips])
    chart.axes("section lift coefficient", across="distance from the centre line, mm")
    ends = [End(strips[-1].lift, "lift")]
    if upper:
        ends.append(End(upper[-1].limit, "limit"))
    chart.ends(ends, right=WIDTH_MM - 4.0)
    words = mark_places([chart], [(stall.first_y * 1000, _where(flight))])
    draw_notes(canvas, words or {1: _where(flight)}, key, top=notes + 2.0, left=_LEFT_MM)
    return finish(
        canvas.figure(),
        name="stall",
        alt=_alt(dossier, flight),
        caption=_caption(dossier, flight),
    )


def _caption(dossier: Dossier, flight: FlightResult) -> str:
    control = flight.trim.control or ""
    held = control.startswith(f"{flight.stall.first_surface}.")
    return (
        f"{_title(dossier, flight)} at the stall in straight flight, power off, from the centre "
        "line to the tip: lift of each strip, and the most its section can give."
        + (" Where the pitch control is turned, the limit moves with it." if held else "")
    )


def mm_of(strip: StripMargin) -> float:
    """Distance of a strip from the centre line. [mm]"""
    return abs(strip.y) * 1000


def _chart(canvas: Canvas, dossier: Dossier, flight: FlightResult, *, foot: float) -> Chart:
    strips, more = strips_of(flight), 1.0 + flight.stall.lift_max_spread
    tip = max(abs(s.y) for s in dossier.airframe.surface(flight.stall.first_surface).stations)
    values = [0.0, *(strip.lift for strip in strips)]
    values += [strip.limit * more for strip in strips if strip.limit > 0.0]
    return Chart(
        canvas,
        Rect(_LEFT_MM, foot, _RIGHT_MM, foot + _CHART_MM),
        across=Axis.over([0.0, tip * 1000], most=8, high=False),
        up=Axis.over(values),
    )


def _title(dossier: Dossier, flight: FlightResult) -> str:
    title = dossier.airframe.surface(flight.stall.first_surface).title
    return title[:1].upper() + title[1:]


def _where(flight: FlightResult) -> str:
    stall = flight.stall
    does = "stalls first" if stall.found else "comes nearest to its stall"
    if stall.first_share < _CENTRE:
        return f"{does} at the centre"
    return f"{does} {mm(stall.first_y)} mm out, {stall.first_share * 100:.0f} % of the half span"


def _alt(dossier: Dossier, flight: FlightResult) -> str:
    stall = flight.stall
    return (
        f"Lift along the half span of {dossier.name} at the stall. {_title(dossier, flight)} "
        f"{_where(flight)}, at {stall.speed:.1f} m/s and a lift coefficient of "
        f"{stall.lift_max:.2f} for the whole model."
    )
