"""Thrust against drag, and current, over speed: full throttle and level flight."""

from __future__ import annotations

from plansgen.drive.result import DriveResult
from plansgen.figures.axis import Axis
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart import FIRST, SECOND, Chart
from plansgen.figures.chart_key import BALLOONS_MM, KeyRow, draw_notes, mark_places, notes_height
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.flight.powered import Powered

WIDTH_MM = 190.0
_LEFT_MM, _RIGHT_MM = 26.0, 182.0
_THRUST_MM, _CURRENT_MM = 58.0, 46.0
_BETWEEN_MM, _AXIS_MM = 8.0, 18.0


def draw_power(name: str, drive: DriveResult, powered: Powered, *, stall: float) -> Drawing:
    """Draw the chart. name: the design's. stall: its stall speed. [m/s]"""
    return finish(
        chart_of(drive, powered, stall=stall).figure(),
        name="power",
        alt=_alt(name, drive, powered, stall),
        caption="Thrust at full throttle and drag in level flight, and what both draw from the "
        "battery, against airspeed.",
    )


def chart_of(drive: DriveResult, powered: Powered, *, stall: float) -> Canvas:
    """The chart on a canvas of its own size."""
    places, key = _places(powered, stall), _key(powered, drive)
    notes = notes_height(len(places), key)
    height = notes + _AXIS_MM + _CURRENT_MM + _BETWEEN_MM + _THRUST_MM + BALLOONS_MM + 4.0
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=height)
    thrust, current = _charts(canvas, drive, powered, foot=notes + _AXIS_MM + 2.0)
    speeds = [state.speed for state in drive.over_speed]
    share = _share(powered)
    pulls = [state.thrust * share for state in drive.over_speed]
    draws = [state.current for state in drive.over_speed]
    for chart, values, spread in (
        (thrust, pulls, powered.static.spread),
        (current, draws, drive.spread.current),
    ):
        low, high = ([v * (1 + sign * spread) for v in values] for sign in (-1, 1))
        chart.between(speeds, low, high)
        chart.line(list(zip(speeds, values, strict=True)), smooth=True)
    thrust.line(list(zip(powered.speeds, powered.drags, strict=True)), SECOND, smooth=True)
    current.line([(p.speed, p.current) for p in powered.level], SECOND, smooth=True)
    thrust.axes("thrust and drag, N")
    current.axes("current, A", across="airspeed, m/s")
    draw_notes(canvas, mark_places((thrust, current), places), key, top=notes + 2.0, left=_LEFT_MM)
    return canvas


def _share(powered: Powered) -> float:
    """Thrust that is used over the worked-out one."""
    static = powered.static
    return static.used / static.worked_out if static.worked_out > 0.0 else 1.0


def _charts(
    canvas: Canvas, drive: DriveResult, powered: Powered, *, foot: float
) -> tuple[Chart, Chart]:
    """The upper and the lower pair of axes, over the same speeds."""
    across = Axis.over([0.0, powered.speeds[-1]], most=10, high=False)
    thrust, current = (
        max(values) * (1 + spread)
        for values, spread in (
            ([powered.static.used, *powered.drags], powered.static.spread),
            ([state.current for state in drive.over_speed], drive.spread.current),
        )
    )
    middle = foot + _CURRENT_MM + _BETWEEN_MM
    return (
        Chart(
            canvas,
            Rect(_LEFT_MM, middle, _RIGHT_MM, middle + _THRUST_MM),
            across=across,
            up=Axis.over([0.0, thrust]),
        ),
        Chart(
            canvas,
            Rect(_LEFT_MM, foot, _RIGHT_MM, foot + _CURRENT_MM),
            across=across,
            up=Axis.over([0.0, current], most=5),
        ),
    )


def _places(powered: Powered, stall: float) -> list[tuple[float, str]]:
    """Speeds worth a mark, with their words."""
    places = [(stall, f"stall {stall:.1f} m/s")]
    climb, cruise, top = powered.best_climb, powered.cruise, powered.top_speed
    if climb is not None:
        words = f"best climb {climb.rate:.1f} m/s at {climb.speed:.1f} m/s"
        places.append((climb.speed, words))
    if cruise is not None:
        words = f"cruise {cruise.speed:.1f} m/s, {cruise.throttle * 100:.0f} % throttle"
        places.append((cruise.speed, f"{words}, {cruise.current:.1f} A"))
    if top is not None:
        places.append((top, f"top speed {top:.1f} m/s, where thrust and drag are equal"))
    return places


def _key(powered: Powered, drive: DriveResult) -> list[KeyRow]:
    thrust, current = powered.static.spread * 100, drive.spread.current * 100
    return [
        KeyRow(FIRST, "full throttle, battery fresh: thrust above, current below"),
        KeyRow(SECOND, "level flight: drag above, current below"),
        KeyRow(
            "spread",
            f"thrust ± {thrust:.0f} %, current ± {current:.0f} %: one standard deviation",
        ),
    ]


def _alt(name: str, drive: DriveResult, powered: Powered, stall: float) -> str:
    marks = "; ".join(words for _, words in _places(powered, stall))
    return (
        f"Thrust, drag and current of {name} against airspeed. Standing still at full throttle "
        f"{powered.static.used:.1f} N and {drive.static.current:.0f} A; both fall as it flies "
        f"faster. {marks}."
    )
