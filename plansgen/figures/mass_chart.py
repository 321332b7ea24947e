"""Where the mass is: one bar a group, split by how it is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.balance.buildup import Origin
from plansgen.dossier import Dossier
from plansgen.figures import style
from plansgen.figures.blocks import loaded
from plansgen.figures.canvas import Canvas
from plansgen.figures.lettering import fit, width_mm
from plansgen.figures.save import Drawing, finish

WIDTH_MM = 190.0
_ROW_MM = 9.5
_BAR_MM = 6.0
_TOP_MM = 5.0
_KEY_MM = 13.0
_NAME_MM = 52.0  # room for names at the left
_FIGURE_MM = 34.0  # room for figures at the right
_ORIGINS: tuple[Origin, ...] = ("measured", "given", "worked out")
_WORDS: dict[Origin, str] = {
    "measured": "weighed",
    "given": "given by the designer",
    "worked out": "worked out",
}
_HATCH_MM = 1.8
_KEY_LEFT_MM = 12.0


@dataclass(frozen=True)
class Bar:
    """One group: masses by origin. [kg]"""

    name: str
    parts: dict[Origin, float]

    @property
    def total(self) -> float:
        """Mass of the group. [kg]"""
        return sum(self.parts.values())


def bars_of(dossier: Dossier) -> list[Bar]:
    """Groups of the mass build-up and the usual battery, heaviest first."""
    groups: dict[str, dict[Origin, float]] = {}
    for line in dossier.balance.lines:
        parts = groups.setdefault(line.group, {})
        parts[line.origin] = parts.get(line.origin, 0.0) + line.mass
    ready = dossier.balance.ready
    if ready is not None and ready.battery_mass:
        origin: Origin = "measured" if ready.battery_measured else "given"
        groups["battery"] = {origin: ready.battery_mass}
    bars = [Bar(name, parts) for name, parts in groups.items()]
    return sorted(bars, key=lambda bar: (-bar.total, bar.name))


def draw_masses(dossier: Dossier) -> Drawing:
    """The mass breakdown of the model ready to fly."""
    bars = bars_of(dossier)
    total = sum(bar.total for bar in bars) or 1.0
    height = _TOP_MM + _ROW_MM * max(len(bars), 1) + _KEY_MM
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=height)
    longest = max((bar.total for bar in bars), default=1.0)
    per_kg = (WIDTH_MM - _NAME_MM - _FIGURE_MM) / longest
    for number, bar in enumerate(bars):
        _draw_bar(canvas, bar, height - _TOP_MM - _ROW_MM * number, per_kg, total)
    _draw_key(canvas)
    return finish(
        canvas.figure(),
        name="masses",
        alt=_alt(dossier, bars, total),
        caption=f"Where the mass is, {loaded(dossier)}.",
    )


def _draw_bar(canvas: Canvas, bar: Bar, top: float, per_kg: float, total: float) -> None:
    bottom = top - _BAR_MM
    middle = (top + bottom) / 2
    name = fit(bar.name[:1].upper() + bar.name[1:], _NAME_MM - 4)
    canvas.text(_NAME_MM - 2, middle, name, align="right", level="middle")
    left = _NAME_MM
    for origin in _ORIGINS:
        if mass := bar.parts.get(origin, 0.0):
            draw_swatch(canvas, (left, bottom, left + mass * per_kg, top), origin)
            left += mass * per_kg
    figures = f"{bar.total * 1000:.0f} g, {bar.total / total * 100:.0f} %"
    canvas.text(left + 2, middle, figures, level="middle")


def draw_swatch(canvas: Canvas, box: tuple[float, float, float, float], origin: Origin) -> None:
    """A rectangle filled by how a mass is known: solid, hatched or open."""
    left, bottom, right, top = box
    corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
    if origin == "measured":
        canvas.mark(corners, "mass")
    else:
        canvas.fill(corners, "part_2")
    if origin == "given":
        _hatch(canvas, box)
    canvas.line(corners, style.NARROW, closed=True)


def _hatch(canvas: Canvas, box: tuple[float, float, float, float]) -> None:
    """Strokes at 45 degrees, cut at the box."""
    left, bottom, right, top = box
    height = top - bottom
    start = left - height + _HATCH_MM
    while start < right:
        low = max(start, left)
        high = min(start + height, right)
        if high - low > 0.05:
            canvas.line([(low, bottom + low - start), (high, bottom + high - start)], style.NARROW)
        start += _HATCH_MM


def _draw_key(canvas: Canvas) -> None:
    left, middle = _KEY_LEFT_MM, _KEY_MM / 2 - 1
    for origin in _ORIGINS:
        draw_swatch(canvas, (left, middle - 2.2, left + 9, middle + 2.2), origin)
        canvas.text(left + 11, middle, _WORDS[origin], level="middle")
        left += 11 + width_mm(_WORDS[origin]) + 8


def _alt(dossier: Dossier, bars: Sequence[Bar], total: float) -> str:
    words = ", ".join(
        f"{bar.name} {bar.total * 1000:.0f} g ({bar.total / total * 100:.0f} %)" for bar in bars
    )
    return f"Bar chart of the masses of {dossier.name}, {total * 1000:.0f} g in all: {words}."
