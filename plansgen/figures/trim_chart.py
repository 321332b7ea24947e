"""Trim: where the pitch control and the nose stand at each speed."""

from __future__ import annotations

import math
from itertools import pairwise

from plansgen.dossier import Dossier
from plansgen.figures.axis import Axis
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart import Chart
from plansgen.figures.chart_key import BALLOONS_MM, KeyRow, draw_notes, mark_places, notes_height
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.flight.result import FlightResult

WIDTH_MM = 190.0
_LEFT_MM, _RIGHT_MM = 34.0, 182.0
_CONTROL_MM, _ANGLE_MM = 62.0, 46.0
_BETWEEN_MM, _AXIS_MM = 8.0, 18.0


def draw_trim(dossier: Dossier, flight: FlightResult) -> Drawing:
    """Draw the trim curves; without a pitch control the angle of attack alone."""
    places, key = _places(flight), _key(flight)
    notes = notes_height(len(places), key)
    control_mm = 0.0 if flight.trim.control is None else _CONTROL_MM + _BETWEEN_MM
    height = notes + _AXIS_MM + _ANGLE_MM + control_mm + BALLOONS_MM + 4.0
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=height)
    foot = notes + _AXIS_MM + 2.0
    points = flight.trim.points
    speeds = Axis.over([point.speed for point in points], most=10, high=False)
    angle = Chart(
        canvas,
        Rect(_LEFT_MM, foot, _RIGHT_MM, foot + _ANGLE_MM),
        across=speeds,
        up=Axis.over([0.0, *(math.degrees(point.angle) for point in points)], most=5),
    )
    angle.line([(point.speed, math.degrees(point.angle)) for point in points], smooth=True)
    angle.axes("angle of attack, °", across="speed, m/s")
    charts = [angle]
    if flight.trim.control is not None:
        bottom = foot + _ANGLE_MM + _BETWEEN_MM
        area = Rect(_LEFT_MM, bottom, _RIGHT_MM, bottom + _CONTROL_MM)
        charts.insert(0, _draw_control(canvas, flight, area, speeds))
    words = mark_places(charts, places)
    draw_notes(canvas, words, key, top=notes + 2.0, left=_LEFT_MM - 22.0)
    return finish(
        canvas.figure(),
        name="trim",
        alt=_alt(dossier, flight),
        caption="Trimmed level flight, power off: pitch control and angle of attack of the datum "
        "line against speed."
        if flight.trim.control
        else "Level flight, power off: angle of attack of the datum line against speed.",
    )


def edge_up(flight: FlightResult) -> list[tuple[float, float | None]]:
    """Speed and how far the trailing edge stands up; down below 0. [m/s, degrees]"""
    return [
        (point.speed, None if point.deflection is None else -math.degrees(point.deflection))
        for point in flight.trim.points
    ]


def _draw_control(canvas: Canvas, flight: FlightResult, area: Rect, speeds: Axis) -> Chart:
    travel = math.degrees(flight.trim.travel)
    known = [value for _, value in edge_up(flight) if value is not None]
    up = Axis.over([-travel * 1.15, travel * 1.15, *known], most=8, low=False, high=False)
    chart = Chart(canvas, area, across=speeds, up=up)
    chart.level_band(-travel, travel)
    chart.line(edge_up(flight), smooth=True)
    chart.axes("trailing edge, °", word=lambda value: _up_or_down(up, value))
    return chart


def _up_or_down(axis: Axis, value: float) -> str:
    if value == 0.0:
        return "0"
    return f"{axis.word(abs(value))} {'up' if value > 0.0 else 'down'}"


def _key(flight: FlightResult) -> list[KeyRow]:
    if flight.trim.control is None:
        return []
    travel = math.degrees(flight.trim.travel)
    return [KeyRow("band", f"travel of the pitch control, {travel:.0f}° each way")]


def _places(flight: FlightResult) -> list[tuple[float, str]]:
    trim, stall = flight.trim, flight.stall
    places = [(stall.speed, f"stall {stall.speed:.1f} m/s{_angles(flight, stall.speed)}")]
    places.append(
        (flight.cruise, f"cruise {flight.cruise:.1f} m/s{_angles(flight, flight.cruise)}")
    )
    if trim.free_speed is not None:
        places.append((trim.free_speed, f"control undeflected {trim.free_speed:.1f} m/s"))
    if trim.full_speed is not None:
        places.append(
            (trim.full_speed, f"slowest that full control holds {trim.full_speed:.1f} m/s")
        )
    return places


def _angles(flight: FlightResult, speed: float) -> str:
    """Control and nose at a speed, read between the worked-out ones."""
    words = []
    control = between(edge_up(flight), speed)
    if control is not None:
        words.append(f"trailing edge {_lettered(control)}")
    nose = between([(p.speed, math.degrees(p.angle)) for p in flight.trim.points], speed)
    if nose is not None:
        words.append(f"angle of attack {round(nose, 1) + 0.0:.1f}°")
    return "".join(f", {word}" for word in words)


def _lettered(edge: float) -> str:
    """How far the trailing edge stands up or down. [degrees]"""
    size = round(abs(edge), 1)
    way = "" if size == 0.0 else " up" if edge > 0.0 else " down"
    return f"{size:.1f}°{way}"


def between(points: list[tuple[float, float | None]], place: float) -> float | None:
    """A line read between its points; None beyond it and in its gaps."""
    for (x, value), (other_x, other) in pairwise(points):
        if x <= place <= other_x and value is not None and other is not None:
            return value + (other - value) * (place - x) / (other_x - x)
    return None


def _alt(dossier: Dossier, flight: FlightResult) -> str:
    marks = "; ".join(words for _, words in _places(flight))
    trim = flight.trim
    if trim.control is None:
        return f"Angle of attack of {dossier.name} against speed: {marks}. It has no pitch control."
    reach = "holds" if trim.reaches_stall else "does not hold"
    return (
        f"Trim of {dossier.name} against speed: {marks}. The travel of "
        f"{math.degrees(trim.travel):.0f}° each way {reach} it at its stall."
    )
