"""What the three view sheets of a design share: title block, key, and words for numbers."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from plansgen.dossier import Dossier
from plansgen.figures import style
from plansgen.figures.canvas import Canvas
from plansgen.figures.lettering import fit
from plansgen.figures.paper import Setup
from plansgen.figures.scales import Rect
from plansgen.figures.sheet import Sheet, TitleBlock
from plansgen.library.models import Credits

SHEETS = ("plan", "side", "front")
_NAMES = {"plan": "Plan view", "side": "Side view", "front": "Front view"}
_KEY_ROW_MM = 6.0
_KEY_SIGN_MM = 11.0
_LEGEND_ROW_MM = 6.0

Corner = tuple[float, float]
Sign = Literal["balance", "band", "mac", "mass", "propeller", "worked out"]


@dataclass(frozen=True)
class KeyRow:
    """One line of a sheet's key: a sign and its words."""

    sign: Sign
    words: str


def mm(metres: float) -> str:
    """A length as lettered on a drawing: millimetres without unit (ISO 129-1, from memory)."""
    value = round(metres * 1000, 6)  # without the noise of the sums behind it
    if abs(value) >= 100:
        return f"{value:.0f}"
    return f"{round(value, 1) + 0.0:.1f}".removesuffix(".0")


def widened(low: Corner, high: Corner, points: Iterable[Corner]) -> tuple[Corner, Corner]:
    """Lower left and upper right corner moved out to hold some points. [m]"""
    every = [low, high, *points]
    hs, vs = [h for h, _ in every], [v for _, v in every]
    return (min(hs), min(vs)), (max(hs), max(vs))


def make_sheet(dossier: Dossier, credits: Credits, name: str, setup: Setup) -> Sheet:
    """A sheet with its title block filled in."""
    return Sheet(
        TitleBlock(
            legal_owner=credits.owner or credits.designer,
            number=f"{dossier.slug}-{dossier.revision}-{SHEETS.index(name) + 1}",
            title=dossier.name,
            document_type=f"{_NAMES[name]}, {setup.paper}",
            date_of_issue=dossier.date,
            revision=dossier.revision,
            creator=credits.designer,
            approved_by=credits.approved or "—",
            sheet=SHEETS.index(name) + 1,
            sheets=len(SHEETS),
            scale=setup.scale,
        )
    )


def loaded(dossier: Dossier) -> str:
    """The state that pictures of the masses show, in words."""
    ready = dossier.balance.ready
    usual = " with the usual battery" if ready is not None and ready.battery else ""
    return f"ready to fly{usual}"


def caption(name: str, setup: Setup) -> str:
    """Name, scale and paper of a view."""
    return f"{_NAMES[name]}, {setup.scale} on {setup.paper}; dimensions in mm."


def draw_key(sheet: Sheet, rows: Sequence[KeyRow]) -> None:
    """The key in the corner beside the title block, one row a sign."""
    area = sheet.corner_area
    for number, row in enumerate(rows[: int(area.height // _KEY_ROW_MM) + 1]):
        middle = area.top - style.TEXT_MM / 2 - number * _KEY_ROW_MM
        _draw_sign(sheet, row.sign, area.left, middle)
        words = fit(row.words, area.width - _KEY_SIGN_MM)
        sheet.text(area.left + _KEY_SIGN_MM, middle, words, level="middle")


def _draw_sign(sheet: Sheet, sign: Sign, left: float, middle: float) -> None:
    centre = left + (_KEY_SIGN_MM - 3) / 2
    if sign == "balance":
        for start in (0.0, 180.0):
            sheet.sector(
                (centre, middle), radius_mm=2.0, role="accent", start_deg=start, end_deg=start + 90
            )
        sheet.arc((centre, middle), radius_mm=2.0, kind=style.LineType(style.NARROW_MM, "accent"))
    elif sign == "band":
        box = [(left, middle - 1.8), (left + 8, middle - 1.8), (left + 8, middle + 1.8)]
        sheet.fill([*box, (left, middle + 1.8)], "band")
        for edge in (middle - 1.8, middle + 1.8):
            sheet.line([(left, edge), (left + 8, edge)], style.BAND_LINE)
    elif sign == "worked out":
        box = [(left, middle - 1.8), (left + 8, middle - 1.8), (left + 8, middle + 1.8)]
        sheet.line([*box, (left, middle + 1.8)], style.WORKED_OUT, closed=True)
    elif sign == "mac":
        sheet.line([(left, middle), (left + 8, middle)], style.CONSTRUCTION)
    elif sign == "propeller":
        sheet.line([(left, middle), (left + 8, middle)], style.ADJACENT)
    else:
        sheet.sector((centre, middle), radius_mm=1.3, role="mass")


def legend_height(count: int, columns: int) -> float:
    """Room that a legend of so many numbered words takes. [mm]"""
    return math.ceil(count / columns) * _LEGEND_ROW_MM


def draw_legend(canvas: Canvas, words: Mapping[int, str], area: Rect, *, columns: int = 3) -> None:
    """Numbers and their words in columns, from the top left of an area downwards."""
    rows = math.ceil(len(words) / columns)
    width = area.width / columns
    for place, (number, text) in enumerate(words.items()):
        column, row = divmod(place, rows)
        left = area.left + column * width
        middle = area.top - (row + 0.5) * _LEGEND_ROW_MM
        canvas.text(left + 6.5, middle, str(number), align="right", level="middle", bold=True)
        canvas.text(left + 8.5, middle, fit(text, width - 11.0), level="middle")


def balance_rows(dossier: Dossier) -> list[KeyRow]:
    """Key rows for the balance point and its band."""
    rows = []
    ready, target = dossier.balance.ready, dossier.balance.target
    if ready is not None:
        rows.append(KeyRow("balance", f"balances {mm(ready.state.from_root)} aft of root LE"))
    if target is not None:
        root = dossier.airframe.reference.root_x
        band = f"{mm(target.forward_x - root)} to {mm(target.aft_x - root)}"
        rows.append(KeyRow("band", f"allowed {band} aft"))
    return rows
