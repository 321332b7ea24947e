"""How far out the spar must go: least reserve factor against the reach of the spar."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.figures.axis import Axis
from plansgen.figures.blocks import mm
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart import FIRST, LEVEL, Chart, End
from plansgen.figures.chart_key import BALLOONS_MM, KeyRow, draw_notes, mark_places, notes_height
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.figures.strength_cases import (
    AXIS_MM,
    LEFT_MM,
    NOTES_MM,
    WIDTH_MM,
    reserve_words,
    title_of,
)
from plansgen.structure.strength import Reach, SurfaceStrength

_RIGHT_MM = 152.0
_CHART_MM = 70.0
_MOST_WANTED = 4.0  # times the wanted reserve factor: where the chart is cut off,
_MOST_LEAST = 2.0  # or so many times the least one that is drawn, if that is more


def draw_reach(dossier: Dossier, strength: SurfaceStrength) -> Drawing | None:
    """Draw the chart; None for a surface without a spar."""
    reach = strength.reach
    if reach is None:
        return None
    places = _places(reach)
    rows = [
        KeyRow(FIRST, "least reserve factor of the whole half in all cases of service"),
        KeyRow(LEVEL, "reserve factor wanted"),
        KeyRow("hatch", "it breaks"),
    ]
    notes = notes_height(len(places), rows)
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=notes + AXIS_MM + _CHART_MM + BALLOONS_MM + 4.0)
    foot = notes + AXIS_MM + 2.0
    least = min(point.reserve for point in reach.points)
    most = max(_MOST_WANTED * reach.wanted, _MOST_LEAST * least)
    shown = [min(point.reserve, most) for point in reach.points]
    chart = Chart(
        canvas,
        Rect(LEFT_MM, foot, _RIGHT_MM, foot + _CHART_MM),
        across=Axis.over([min(p.share for p in reach.points) * 100, 100.0], most=8, high=False),
        up=Axis.over([0.0, reach.wanted * 1.2, *shown]),
    )
    chart.level_band(0.0, 1.0, look="hatch")
    chart.line([(point.share * 100, point.reserve) for point in reach.points])
    chart.axes("least reserve factor", across="reach of the spar, % of the half span")
    chart.level(reach.wanted)
    now = _now(reach)
    chart.canvas.sector(
        chart.at(reach.now_share * 100, chart.up.held(now)), radius_mm=1.3, role="accent"
    )
    chart.ends([End(reach.wanted, f"wanted {reach.wanted:g}")], right=WIDTH_MM - 3.0)
    words = mark_places([chart], places)
    draw_notes(canvas, words, rows, top=notes + 2.0, left=NOTES_MM)
    return finish(
        canvas.figure(),
        name="reach",
        alt=f"Least reserve factor of the {strength.title} of {dossier.name} against how far out "
        f"its spar goes. {'. '.join(words[:1].upper() + words[1:] for _, words in places)}. "
        f"{_least_words(reach)}",
        caption=f"{title_of(strength)}: least reserve factor when the spar ends there, and the "
        f"skin alone must carry what is left. {_least_words(reach)}",
    )


def _now(reach: Reach) -> float:
    """Least reserve factor at the spar's present reach."""
    return min(reach.points, key=lambda point: abs(point.reach - reach.now)).reserve


def _places(reach: Reach) -> list[tuple[float, str]]:
    now = f"reaches {mm(reach.now)} mm now, {reach.now_share * 100:.0f} %: "
    places = [(reach.now_share * 100, f"{now}reserve factor {reserve_words(_now(reach))}")]
    if reach.least is not None and reach.least_share is not None:
        least = f"least reach for {reserve_words(reach.wanted)}: {mm(reach.least)} mm, "
        places.append((reach.least_share * 100, f"{least}{reach.least_share * 100:.0f} %"))
    return places


def _least_words(reach: Reach) -> str:
    wanted = reserve_words(reach.wanted)
    if reach.least is None:
        return f"No reach gives the reserve factor of {wanted} that is wanted."
    if reach.least <= 0.0:
        return f"The skin alone gives the reserve factor of {wanted} that is wanted."
    return f"A reach of {mm(reach.least)} mm gives the reserve factor of {wanted} that is wanted."
