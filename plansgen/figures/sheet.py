"""The drawing sheet: paper after ISO 216, frame after ISO 5457, title block after ISO 7200.

How a drawing is made, from the blank sheet to the file::

    block = TitleBlock(
        legal_owner="Saltmarsh library", number="DUN-1", title="Dunlin", document_type="Plan view",
        date_of_issue="2026-11-25", revision="A", creator="R. Sedge", sheet=1, sheets=3,
    )
    area = Sheet().drawing_area.inset(left=20, right=55, bottom=28, top=8)
    scale = choose_scale(width_m=1.2, height_m=0.8, area=area)
    sheet = Sheet(replace(block, scale=scale))
    view = View.centred(sheet, scale, low_m=(-0.6, -0.8), high_m=(0.6, 0.0), area=area)
    view.outline([(-0.6, -0.35), (0.6, -0.35), (0.6, -0.15), (-0.6, -0.15)])
    view.outline([(-0.04, -0.8), (0.04, -0.8), (0.04, 0.0), (-0.04, 0.0)], "part_2")
    view.hidden([(-0.04, -0.2), (0.04, -0.2)])
    view.centre_line((0, 0), (0, -0.8))
    symbols.target_band(view, low_m=(-0.1, -0.22), high_m=(0.1, -0.20))
    symbols.balance_point(view, 0, -0.21)
    stack_horizontal(view, [Dim(-0.6, 0.6, "1200", -0.35), Dim(-0.04, 0.04, "80", -0.8)])
    stack_vertical(view, [Dim(-0.8, 0, "800", -0.04), Dim(-0.35, -0.15, "200", -0.6)], side="left")
    legend = label_points(view, [(0, -0.05, "battery, 120 g"), (0, -0.3, "receiver, 9 g")])
    figure = sheet.figure()
    assert not collisions(figure)
    drawing = finish(figure, name="plan", alt="Dunlin from above …", caption="Plan view, 1:10")

``legend`` is empty unless the labels had to be numbered; a sheet without frame and title block,
for a chart or a diagram, is a plain :class:`~plansgen.figures.canvas.Canvas`.
"""

from __future__ import annotations

from plansgen.figures import style, title_block
from plansgen.figures.canvas import Canvas
from plansgen.figures.scales import SCALES, Rect, Scale, choose_scale
from plansgen.figures.title_block import TitleBlock
from plansgen.figures.view import View
from plansgen.library.tables import paper_sizes

__all__ = ["SCALES", "Canvas", "Rect", "Scale", "Sheet", "TitleBlock", "View", "choose_scale"]

# Margins of ISO 5457 (from memory): the left one leaves room for filing.
FILING_MARGIN_MM = 20.0
MARGIN_MM = 10.0

_CLEAR_MM = 4.0
_CENTRING_MARK_MM = 5.0


class Sheet(Canvas):
    """A landscape sheet with its frame and, if given, its title block in the lower right corner.

    Args:
        block: what the title block says; without it the room is kept free all the same.
        paper: id of a size in the packaged table of papers.

    Raises:
        KeyError: no such paper.
    """

    def __init__(self, block: TitleBlock | None = None, *, paper: str = "a4") -> None:
        size = paper_sizes()[paper]
        super().__init__(
            width_mm=round(size.height * 1000, 3), height_mm=round(size.width * 1000, 3)
        )
        self.frame = Rect(
            FILING_MARGIN_MM, MARGIN_MM, self.width_mm - MARGIN_MM, self.height_mm - MARGIN_MM
        )
        self.limits = self.frame
        self._draw_frame()
        if block:
            title_block.draw(self, block, right_mm=self.frame.right, bottom_mm=self.frame.bottom)

    @property
    def drawing_area(self) -> Rect:
        """The room above the title block, clear of the frame."""
        above = self.frame.inset(bottom=title_block.HEIGHT_MM)
        return above.inset(left=_CLEAR_MM, bottom=_CLEAR_MM, right=_CLEAR_MM, top=_CLEAR_MM)

    @property
    def corner_area(self) -> Rect:
        """The room left of the title block, clear of the frame: for a note or a key."""
        left = self.frame.inset(
            right=title_block.WIDTH_MM, top=self.frame.height - title_block.HEIGHT_MM
        )
        return left.inset(left=_CLEAR_MM, bottom=_CLEAR_MM, right=_CLEAR_MM)

    def _draw_frame(self) -> None:
        left, bottom, right, top = (
            self.frame.left,
            self.frame.bottom,
            self.frame.right,
            self.frame.top,
        )
        corners = [(left, bottom), (right, bottom), (right, top), (left, top)]
        self.line(corners, style.FRAME, closed=True)
        x, y = self.width_mm / 2, self.height_mm / 2  # centring marks are at the paper's middle
        for point, (dx, dy) in (
            ((left, y), (-1, 0)),
            ((right, y), (1, 0)),
            ((x, bottom), (0, -1)),
            ((x, top), (0, 1)),
        ):
            end = (point[0] + dx * _CENTRING_MARK_MM, point[1] + dy * _CENTRING_MARK_MM)
            self.line([point, end], style.FRAME)
