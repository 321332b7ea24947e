"""Power to fly level and sink in the glide, against speed."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.figures.axis import Axis
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart import Chart
from plansgen.figures.chart_key import BALLOONS_MM, KeyRow, draw_notes, mark_places, notes_height
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.flight.result import FlightResult

WIDTH_MM = 190.0
_LEFT_MM, _RIGHT_MM = 26.0, 182.0
_POWER_MM, _SINK_MM = 58.0, 46.0
_BETWEEN_MM, _AXIS_MM = 8.0, 18.0
_PAST_STALL = 2.5  # stall speeds shown
_PAST_CRUISE = 1.2  # so that the cruise is never at the edge


def draw_speeds(dossier: Dossier, flight: FlightResult) -> Drawing:
    """Draw the chart of power and sink."""
    places = _places(flight)
    key = [KeyRow("spread", f"within {_percent(flight)}: one standard deviation of the drag")]
    notes = notes_height(len(places), key)
    height = notes + _AXIS_MM + _SINK_MM + _BETWEEN_MM + _POWER_MM + BALLOONS_MM + 4.0
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=height)
    power, sink = _charts(canvas, flight, foot=notes + _AXIS_MM + 2.0)
    performance, spread = flight.performance, flight.performance.spread
    for chart, speeds, values in (
        (power, performance.speeds, performance.powers),
        (sink, performance.glide_speeds, performance.sinks),
    ):
        low = [value * (1 - spread) for value in values]
        chart.between(speeds, low, [value * (1 + spread) for value in values])
        chart.line(list(zip(speeds, values, strict=True)))
    power.axes("power in the air, W")
    sink.axes("sink, m/s", across="speed, m/s")
    words = mark_places((power, sink), places)
    draw_notes(canvas, words, key, top=notes + 2.0, left=_LEFT_MM)
    return finish(
        canvas.figure(),
        name="speeds",
        alt=_alt(dossier, flight),
        caption="Power that must reach the air in level flight, and sink in the glide, power off, "
        "against speed.",
    )


def _charts(canvas: Canvas, flight: FlightResult, *, foot: float) -> tuple[Chart, Chart]:
    """The upper and the lower pair of axes, over the same speeds."""
    performance, more = flight.performance, 1.0 + flight.performance.spread
    slow = min(performance.glide_speeds[0], performance.speeds[0])
    fast = max(_PAST_STALL * flight.stall.speed, _PAST_CRUISE * flight.cruise)
    across = Axis.over([slow, min(fast, performance.speeds[-1])], most=10, high=False)
    powers = _shown(performance.speeds, performance.powers, across.high)
    sinks = _shown(performance.glide_speeds, performance.sinks, across.high)
    middle = foot + _SINK_MM + _BETWEEN_MM
    return (
        Chart(
            canvas,
            Rect(_LEFT_MM, middle, _RIGHT_MM, middle + _POWER_MM),
            across=across,
            up=Axis.over([0.0, max(powers) * more]),
        ),
        Chart(
            canvas,
            Rect(_LEFT_MM, foot, _RIGHT_MM, foot + _SINK_MM),
            across=across,
            up=Axis.over([0.0, max(sinks) * more], most=5),
        ),
    )


def _shown(speeds: tuple[float, ...], values: tuple[float, ...], fastest: float) -> list[float]:
    return [value for speed, value in zip(speeds, values, strict=True) if speed <= fastest]


def _places(flight: FlightResult) -> list[tuple[float, str]]:
    """Speeds worth a mark, with their words."""
    stall, performance = flight.stall, flight.performance
    least, best = performance.least_sink, performance.best_glide
    at_stall = {True: ", at the stall", False: ""}
    return [
        (stall.speed, f"stall {stall.speed:.1f} m/s ± {stall.speed_spread:.1f} m/s"),
        (
            least.speed,
            f"least sink {least.sink:.2f} m/s at {least.speed:.1f} m/s{at_stall[least.at_stall]}",
        ),
        (
            best.speed,
            f"best glide {best.ratio:.1f} : 1 at {best.speed:.1f} m/s{at_stall[best.at_stall]}",
        ),
        (flight.cruise, f"cruise {flight.cruise:.1f} m/s"),
    ]


def _percent(flight: FlightResult) -> str:
    return f"± {flight.performance.spread * 100:.0f} %"


def _alt(dossier: Dossier, flight: FlightResult) -> str:
    performance = flight.performance
    marks = "; ".join(words for _, words in _places(flight))
    return (
        f"Power and sink of {dossier.name} against speed, {_percent(flight)}. {marks}. Level "
        f"flight takes least power at {performance.least_power_speed:.1f} m/s, "
        f"{performance.least_power:.1f} W in the air."
    )
