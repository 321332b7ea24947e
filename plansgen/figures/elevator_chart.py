"""How much of the elevator is left, against speed."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.figures.axis import Axis
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart import FIRST, LEVEL, SECOND, Chart, End
from plansgen.figures.chart_key import BALLOONS_MM, KeyRow, draw_notes, mark_places, notes_height
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.flight.control_power import SPARE, PowerPoint
from plansgen.flight.handling import NoseLimit
from plansgen.flight.result import FlightResult

WIDTH_MM = 190.0
_LEFT_MM, _RIGHT_MM = 26.0, 146.0
_CHART_MM, _AXIS_MM = 74.0, 18.0
_LEAST, _MOST = -100.0, 200.0  # per cent; what lies beyond is cut off
_BELOW = -20.0  # per cent; always shown


def has_elevator(flight: FlightResult) -> bool:
    """Whether there is a pitch control to draw a chart of."""
    return any(point.elevator_left is not None for point in flight.control.off)


def draw_elevator(dossier: Dossier, flight: FlightResult) -> Drawing:
    """Draw the chart of the elevator that is left.

    Raises:
        ValueError: the design has no pitch control; see :func:`has_elevator`.
    """
    places = _places(flight)
    key = [
        KeyRow("hatch", "below 0 %: full nose-up control does not lift the nose"),
        KeyRow(LEVEL, f"{SPARE * 100:.0f} %: what should be left just above the stall"),
    ]
    notes = notes_height(len(places), key)
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=notes + _AXIS_MM + _CHART_MM + BALLOONS_MM + 4.0)
    chart = _chart(canvas, flight, foot=notes + _AXIS_MM + 2.0)
    chart.level_band(chart.up.low, 0.0, look="hatch")
    chart.level(SPARE * 100)
    chart.axes("elevator left, %", across="speed, m/s")
    ends = []
    for points, kind, name in (
        (flight.control.off, FIRST, "power off"),
        (flight.control.on, SECOND, "full throttle"),
    ):
        rows = left_of(points)
        chart.line(rows, kind, smooth=True)
        known = [value for _, value in rows if value is not None]
        if known:
            ends.append(End(known[-1], name))
    chart.ends(ends, right=WIDTH_MM - 4.0)
    words = mark_places([chart], places)
    draw_notes(canvas, words, key, top=notes + 2.0, left=_LEFT_MM)
    return finish(
        canvas.figure(),
        name="elevator",
        alt=_alt(dossier, flight),
        caption="Share of the pitch control that is left to lift the nose, in level flight at each "
        "speed. Above 100 % the model noses up by itself and is held down.",
    )


def left_of(points: tuple[PowerPoint, ...]) -> list[tuple[float, float | None]]:
    """Speed and elevator left. [m/s, %]"""
    return [
        (point.speed, None if point.elevator_left is None else point.elevator_left * 100)
        for point in points
    ]


def _chart(canvas: Canvas, flight: FlightResult, *, foot: float) -> Chart:
    control = flight.control
    rows = [*left_of(control.off), *left_of(control.on)]
    values = [value for _, value in rows if value is not None]
    if not values:
        raise ValueError("the design has no pitch control")
    low = max(min(_BELOW, *values), _LEAST)
    high = min(max(SPARE * 200, *values) + 5.0, _MOST)
    speeds = [control.stall_speed, *(speed for speed, _ in rows)]
    return Chart(
        canvas,
        Rect(_LEFT_MM, foot, _RIGHT_MM, foot + _CHART_MM),
        across=Axis.over(speeds, most=10, high=False),
        up=Axis.over([low, high], most=8, low=False, high=False),
    )


def _places(flight: FlightResult) -> list[tuple[float, str]]:
    control = flight.control
    places = [(control.stall_speed, f"stall {control.stall_speed:.1f} m/s")]
    for limit, words in ((control.nose_off, "power off"), (control.nose_on, "at full throttle")):
        if limit is not None and limit.speed is not None:
            places.append(
                (limit.speed, f"{words} the nose cannot be lifted below {limit.speed:.1f} m/s")
            )
    return places


def _said(limit: NoseLimit | None, words: str) -> str:
    if limit is None:
        return ""
    if limit.reach == "to the stall":
        return f" {words} full nose-up control lifts the nose down to the stall."
    if limit.speed is None:
        return f" {words} full nose-up control lifts the nose at no speed."
    return f" {words} full nose-up control lifts the nose down to {limit.speed:.1f} m/s only."


def _alt(dossier: Dossier, flight: FlightResult) -> str:
    control = flight.control
    words = [f"Elevator left of {dossier.name} against speed; it stalls at "]
    words.append(f"{control.stall_speed:.1f} m/s.")
    for points, name in ((control.off, "Power off"), (control.on, "At full throttle")):
        known = [(speed, value) for speed, value in left_of(points) if value is not None]
        if known:
            slow, fast = known[0], known[-1]
            words.append(
                f" {name} {slow[1]:.0f} % is left at {slow[0]:.1f} m/s and {fast[1]:.0f} % at "
                f"{fast[0]:.1f} m/s."
            )
    words.append(_said(control.nose_off, "Power off"))
    words.append(_said(control.nose_on, "At full throttle"))
    return "".join(words)
