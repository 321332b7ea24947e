"""Every drawing of a design, by name."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.figures.balance_diagram import draw_balance
from plansgen.figures.card import draw_card
from plansgen.figures.front_view import draw_front
from plansgen.figures.mass_chart import draw_masses
from plansgen.figures.plan_view import draw_plan
from plansgen.figures.save import Drawing
from plansgen.figures.side_view import draw_side
from plansgen.library.design import Design


def draw_all(design: Design, dossier: Dossier) -> dict[str, Drawing]:
    """Draw a design. The credits are the only thing not in the dossier: title blocks name them."""
    credits = design.file.credits
    drawings = [draw_card(dossier)]
    drawings += [draw(dossier, credits) for draw in (draw_plan, draw_side, draw_front)]
    if dossier.balance.ready is not None:
        drawings += [draw_balance(dossier), draw_masses(dossier)]
    return {drawing.name: drawing for drawing in drawings}
