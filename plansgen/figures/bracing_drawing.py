"""Struts and wires of a braced wing with what they carry: one half from ahead and from above."""

from __future__ import annotations

from plansgen.airframe.build import LiftingSurface
from plansgen.dossier import Dossier
from plansgen.figures import style
from plansgen.figures.balloons import MOST, ROW_MM, balloon_row
from plansgen.figures.blocks import draw_legend, legend_height
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.chart_key import KeyRow, draw_notes, notes_height
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect, Scale, choose_scale
from plansgen.figures.shapes import chord_line
from plansgen.figures.strength_cases import WIDTH_MM, number, reserve_words, short
from plansgen.figures.style import LineType
from plansgen.figures.view import View
from plansgen.structure.wires import BracedCase, BraceForce, BraceResult, Bracing

PULLED = LineType(style.WIDE_MM, "construction")
PUSHED = LineType(style.WIDE_MM, "accent", (6.0, 2.0))
SLACK = LineType(style.NARROW_MM, "hidden", (1.5, 4.0))
WING = LineType(style.FRAME_MM, "ink")

SHOWN = "pull-up"

_LEFT_MM, _RIGHT_MM = 10.0, 180.0
_TALL_MM = 120.0  # of one view
_TOP_MM, _BETWEEN_MM = 9.0, 12.0
_NOTHING = 0.005  # N
_SPAR = 0.3  # share of the chord at which the wing is drawn as a line

Space = tuple[float, float, float]


def draw_bracing(dossier: Dossier, bracing: Bracing) -> Drawing:
    """Draw both views in the pull-up at the limit."""
    case = case_shown(bracing)
    wings = [dossier.airframe.surface(key) for key in sorted(bracing.roots)]
    views = [_Picture(bracing, case, wings, side) for side in ("ahead", "above")]
    scale = _scale(views)
    legend = {
        count: _words(brace, force) for count, (brace, force) in enumerate(_shown(bracing, case), 1)
    }
    rows = [
        KeyRow(PULLED, "pulled"),
        KeyRow(PUSHED, "pushed"),
        KeyRow(SLACK, "slack: carries nothing"),
        KeyRow(WING, "wing from ahead, at 30 % of its chord"),
        KeyRow(style.CENTRE_LINE, "the same line from above"),
    ]
    notes = notes_height(0, rows) + legend_height(len(legend), 1)
    blocks = [scale.mm(view.tall) + ROW_MM + _TOP_MM for view in views]
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=notes + sum(blocks) + 2 * _BETWEEN_MM)
    top = canvas.height_mm - 3.0
    for view, block in zip(views, blocks, strict=True):
        view.draw(canvas, scale, top)
        top -= block + _BETWEEN_MM / 2
    draw_legend(canvas, legend, Rect(_LEFT_MM, 0.0, WIDTH_MM - 4.0, notes + 2.0), columns=1)
    foot = notes + 2.0 - legend_height(len(legend), 1)
    draw_notes(canvas, {}, rows, top=foot, left=_LEFT_MM)
    return finish(
        canvas.figure(),
        name="bracing",
        alt=f"Forces in the bracing of {dossier.name}, starboard half, {_title(case)}: "
        f"{'; '.join(f'{count} {words}' for count, words in legend.items())}.",
        caption=f"Starboard half from ahead and from above, {_title(case)}: what each strut and "
        "wire carries. The other half is its mirror image.",
    )


def case_shown(bracing: Bracing) -> BracedCase:
    """The pull-up at the limit, or the first case where there is none."""
    return next((case for case in bracing.cases if case.case == SHOWN), bracing.cases[0])


def _shown(bracing: Bracing, case: BracedCase) -> list[tuple[BraceResult, BraceForce]]:
    """Braces with their forces; of very many the weakest, in the order given."""
    pairs = list(zip(bracing.braces, case.forces, strict=True))
    limit = sorted(brace.reserve for brace, _ in pairs)[:MOST][-1]
    return [pair for pair in pairs if pair[0].reserve <= limit][:MOST]


def _title(case: BracedCase) -> str:
    return "in the pull-up at the limit" if case.case == SHOWN else f"in the case {case.case}"


def kind_of(force: BraceForce) -> LineType:
    """How a brace is drawn: pulled, pushed or slack."""
    if force.slack:
        return SLACK
    return PULLED if force.force >= 0.0 else PUSHED


def _words(brace: BraceResult, force: BraceForce) -> str:
    each = " each" if brace.count > 1 else ""
    part = short(brace.part)
    name = part if brace.name in part else f"{brace.name}, {part}"
    if force.slack or abs(force.force) < _NOTHING:
        return f"{'slack' if force.slack else 'carries nothing'}: {name}"
    way = "pulled" if force.force >= 0.0 else "pushed"
    return (
        f"{way} {number(abs(force.force))} N{each}, reserve {reserve_words(force.reserve)}: {name}"
    )


def _scale(views: list[_Picture]) -> Scale:
    """The largest scale at which every view fits."""
    area = Rect(_LEFT_MM, 0.0, _RIGHT_MM, _TALL_MM)
    wide, tall = max(view.wide for view in views), max(view.tall for view in views)
    return choose_scale(width_m=wide, height_m=tall, area=area)


class _Picture:
    """One view of the starboard half. side: from ahead or from above."""

    def __init__(
        self, bracing: Bracing, case: BracedCase, wings: list[LiftingSurface], side: str
    ) -> None:
        self.side = side
        self.wings = [[self._flat(p) for p in chord_line(wing, _SPAR)] for wing in wings]
        self.edges = (
            [[self._flat(p) for p in chord_line(wing, share)] for wing in wings for share in (0, 1)]
            if side == "above"
            else []
        )
        self.braces = [
            (self._flat(brace.start), self._flat(brace.end), kind_of(force))
            for brace, force in _shown(bracing, case)
        ]
        every = [point for line in (*self.wings, *self.edges) for point in line]
        every += [end for start, stop, _ in self.braces for end in (start, stop)]
        self.low = min(x for x, _ in every), min(y for _, y in every)
        self.high = max(x for x, _ in every), max(y for _, y in every)

    @property
    def wide(self) -> float:
        """From its left end to its right end. [m]"""
        return self.high[0] - self.low[0]

    @property
    def tall(self) -> float:
        """From its foot to its top. [m]"""
        return self.high[1] - self.low[1]

    def _flat(self, point: Space) -> Point:
        """Starboard to the right: up upwards from ahead, forward upwards from above."""
        x, y, z = point
        return (y, z) if self.side == "ahead" else (y, -x)

    def draw(self, canvas: Canvas, scale: Scale, top: float) -> None:
        """Draw it below a height on the sheet, numbers above it."""
        title = "from ahead" if self.side == "ahead" else "from above, nose up"
        canvas.text(_LEFT_MM, top - 4.0, title, bold=True)
        foot = top - _TOP_MM - ROW_MM - scale.mm(self.tall)
        view = View(canvas, scale, origin_mm=(_LEFT_MM + 4.0, foot), datum_m=self.low)
        for line in self.edges:
            view.line(line, style.NARROW)
        for line in self.wings:
            view.line(line, WING if self.side == "ahead" else style.CENTRE_LINE)
        middles = []
        for count, (start, end, kind) in enumerate(self.braces, 1):
            view.line([start, end], kind)
            middles.append((count, view.at((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)))
        edge = view.y(self.high[1])
        balloon_row(canvas, middles, edge=edge, above=True, left=_LEFT_MM, right=_RIGHT_MM)
