"""Cross-sections true to scale: every strip, the neutral axis, and what each part carries."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.dossier import Dossier
from plansgen.figures import style
from plansgen.figures.balloons import ROW_MM, balloon_row
from plansgen.figures.blocks import draw_legend, legend_height, mm
from plansgen.figures.canvas import Canvas, Point
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect, Scale, choose_scale
from plansgen.figures.strength_cases import WIDTH_MM, number, short, title_of
from plansgen.figures.view import View
from plansgen.structure.strength import CutPiece, CutView, SurfaceStrength

_LEFT_MM, _RIGHT_MM = 8.0, 164.0
_LINE_MM = 6.4
_HEAD_MM = 8.0 + _LINE_MM
_GAP_MM = 5.0
_DRAWN_MM = 0.6  # a strip thinner than this on the sheet is drawn as one line
_FILLED_MM = 3.0  # strips thicker than this on the sheet are tinted
_OVERRUN_MM = 3.0
_MOST_PARTS = 12  # of very many parts those that carry most are named
_LEAST_MPA = 0.01  # smaller stresses are nothing to read off
_THIN = style.LineType(style.NARROW_MM, "ink")


@dataclass(frozen=True)
class _Row:
    """One part in the key of a cut: where its balloon points, and its words."""

    number: int
    target: tuple[float, float]
    above: bool
    words: str


def draw_cuts(dossier: Dossier, strength: SurfaceStrength) -> Drawing | None:
    """Draw the cuts above one another at one scale; None where there is none."""
    if not strength.cuts:
        return None
    scale = _scale(strength.cuts)
    blocks = [_Block(cut, scale) for cut in strength.cuts]
    height = sum(block.height for block in blocks) + 6.0
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=height)
    top = height - 3.0
    for block in blocks:
        block.draw(canvas, top)
        top -= block.height
    return finish(
        canvas.figure(),
        name="cuts",
        alt=_alt(dossier, strength),
        caption=f"{title_of(strength)} cut across, {scale} at full size of this drawing: neutral "
        "axis, and the stiffness in bending; in the key the share of the bending that each part "
        "carries, and its greatest stress along the span, in the pull-up at the limit.",
    )


def _scale(cuts: Sequence[CutView]) -> Scale:
    """The largest scale at which every cut fits."""
    width = max(high[0] - low[0] for low, high in map(_box, cuts))
    tall = max(high[1] - low[1] for low, high in map(_box, cuts))
    area = Rect(_LEFT_MM, 0.0, _RIGHT_MM, 60.0)
    return choose_scale(width_m=width, height_m=tall, area=area)


def _box(cut: CutView) -> tuple[Point, Point]:
    """Lower left and upper right of the strips and of the whole chord. [m]"""
    ends = [end for piece in cut.pieces for end in (piece.start, piece.end)]
    xs = [0.0, cut.chord, *(x for x, _ in ends)]
    zs = [z for _, z in ends]
    return (min(xs), min(zs)), (max(xs), max(zs))


class _Block:
    """One cut with its heading above it and its key below."""

    def __init__(self, cut: CutView, scale: Scale) -> None:
        self.cut, self.scale = cut, scale
        self.low, self.high = _box(cut)
        self.rows = _rows(cut)
        self.tall = scale.mm(self.high[1] - self.low[1])
        self.over, self.under = (self._room(above) for above in (True, False))
        self.key = legend_height(len(self.rows), 1)
        self.height = _HEAD_MM + self.over + self.tall + self.under + self.key + _GAP_MM

    def _room(self, above: bool) -> float:
        some = any(row.above is above for row in self.rows)
        return ROW_MM if some else 3.0

    def draw(self, canvas: Canvas, top: float) -> None:
        """Draw it below a height on the sheet."""
        cut = self.cut
        canvas.text(_LEFT_MM, top - 4.0, _title(cut), bold=True)
        canvas.text(_LEFT_MM, top - 4.0 - _LINE_MM, _facts(cut))
        foot = top - _HEAD_MM - self.over - self.tall
        left = _LEFT_MM + 4.0
        view = View(canvas, self.scale, origin_mm=(left, foot), datum_m=self.low)
        for piece in cut.pieces:
            _draw_piece(view, piece)
        self._draw_axis(canvas, view)
        for above in (True, False):
            self._balloons(canvas, view, above=above)
        area = Rect(_LEFT_MM, 0.0, WIDTH_MM - 4.0, foot - self.under)
        draw_legend(canvas, {row.number: row.words for row in self.rows}, area, columns=1)

    def _draw_axis(self, canvas: Canvas, view: View) -> None:
        """The neutral axis over the whole chord and a little beyond, cut at the section's box."""
        cut = self.cut
        rise = math.tan(cut.slope)
        past = _OVERRUN_MM / view.mm(1.0)
        ends = []
        for x in (self.low[0] - past, self.high[0] + past):
            z = cut.neutral + rise * (x - cut.centre_x)
            ends.append((x, min(max(z, self.low[1]), self.high[1])))
        canvas.line([view.at(*end) for end in ends], style.CENTRE_LINE)
        x, y = view.at(cut.centre_x, cut.neutral)
        canvas.line([(x, y - 1.8), (x, y + 1.8)], style.NARROW)
        tip = view.at(*ends[-1])
        canvas.text(tip[0] + 1.5, tip[1], "neutral axis", level="middle", role="thin")

    def _balloons(self, canvas: Canvas, view: View, *, above: bool) -> None:
        """Numbers in a row above or below the section, each with a leader to its part."""
        rows = [(row.number, view.at(*row.target)) for row in self.rows if row.above is above]
        edge = view.y(self.high[1]) if above else view.y(self.low[1])
        right = WIDTH_MM - _LEFT_MM
        balloon_row(canvas, rows, edge=edge, above=above, left=_LEFT_MM, right=right)


def _draw_piece(view: View, piece: CutPiece) -> None:
    """A strip as thick as it is, or as one line where it is too thin for that."""
    (x, z), (u, w) = piece.start, piece.end
    length = math.hypot(u - x, w - z)
    if view.mm(piece.thickness) < _DRAWN_MM or length <= 0.0:
        view.line([piece.start, piece.end], _THIN)
        return
    half = piece.thickness / 2 / length
    across = (-(w - z) * half, (u - x) * half)
    corners = [
        (x + across[0], z + across[1]),
        (u + across[0], w + across[1]),
        (u - across[0], w - across[1]),
        (x - across[0], z - across[1]),
    ]
    if view.mm(piece.thickness) > _FILLED_MM:
        view.fill(corners, "part_2")
        view.line(corners, style.NARROW, closed=True)
    else:  # a strip of a skin: its ends are no edges
        view.line(corners[:2], style.NARROW)
        view.line(corners[2:], style.NARROW)


def _rows(cut: CutView) -> list[_Row]:
    """Parts in the order of what they carry."""
    rows, names = [], _names([share.part for share in cut.shares])
    for count, share in enumerate(cut.shares[:_MOST_PARTS], 1):
        pieces = [piece for piece in cut.pieces if piece.part == share.part]
        most = max(pieces, key=lambda piece: abs(piece.stress))
        target = _middle(most)
        line = cut.neutral + math.tan(cut.slope) * (target[0] - cut.centre_x)
        words = f"{share.share * 100:.0f} %, {_stress(most.stress)}: {names[share.part]}"
        rows.append(_Row(count, target, target[1] >= line, words))
    return rows


def _names(parts: Sequence[str]) -> dict[str, str]:
    """Short names, whole where two would be the same."""
    shorts = [short(part) for part in parts]
    return {
        part: name if shorts.count(name) == 1 else part
        for part, name in zip(parts, shorts, strict=True)
    }


def _middle(piece: CutPiece) -> tuple[float, float]:
    return (piece.start[0] + piece.end[0]) / 2, (piece.start[1] + piece.end[1]) / 2


def _stress(value: float) -> str:
    how, much = "pulled" if value > 0.0 else "pushed", abs(value) / 1e6
    if much < _LEAST_MPA:
        return f"below {_LEAST_MPA:g} MPa"
    return f"{how} {much:.2f} MPa" if much < 10.0 else f"{how} {much:.0f} MPa"


def _title(cut: CutView) -> str:
    return f"{cut.title[:1].upper()}{cut.title[1:]}"


def _facts(cut: CutView) -> str:
    return (
        f"{mm(cut.span)} mm out, chord {mm(cut.chord)} mm: "
        f"stiffness {number(cut.bending)} N m², moment {number(cut.moment)} N m"
    )


def _alt(dossier: Dossier, strength: SurfaceStrength) -> str:
    words = [
        f"{_title(cut)}, {_facts(cut)}: {'; '.join(row.words for row in _rows(cut))}."
        for cut in strength.cuts
    ]
    return f"Cross-sections of the {strength.title} of {dossier.name}. {' '.join(words)}"
