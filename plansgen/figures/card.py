"""The picture on a gallery card: the model from above, without sheet or figures."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.figures.canvas import Canvas
from plansgen.figures.projection import bounds, draw_airframe
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Free, Rect
from plansgen.figures.view import View

WIDTH_MM, HEIGHT_MM = 120.0, 80.0
_MARGIN_MM = 5.0


def draw_card(dossier: Dossier) -> Drawing:
    """Draw the outline of a model to fill a small picture."""
    low, high = bounds(dossier.airframe, "above")
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=HEIGHT_MM)
    area = Rect(_MARGIN_MM, _MARGIN_MM, WIDTH_MM - _MARGIN_MM, HEIGHT_MM - _MARGIN_MM)
    per_metre = min(area.width / (high[0] - low[0]), area.height / (high[1] - low[1]))
    scale = Free(per_metre=per_metre)
    view = View.centred(canvas, scale, low_m=low, high_m=high, area=area)
    draw_airframe(view, dossier.airframe, "above")
    layout, span = dossier.airframe.layout, dossier.airframe.reference.span
    alt = f"{dossier.name} from above: {layout} layout, {span:.2f} m span."
    return finish(canvas.figure(), name="card", alt=alt, caption=dossier.name)
