"""Every drawing of a design, by name."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.figures.balance_diagram import draw_balance
from plansgen.figures.balance_line import draw_balance_line
from plansgen.figures.card import draw_card
from plansgen.figures.elevator_chart import draw_elevator, has_elevator
from plansgen.figures.front_view import draw_front
from plansgen.figures.mass_chart import draw_masses
from plansgen.figures.plan_view import draw_plan
from plansgen.figures.save import Drawing
from plansgen.figures.side_view import draw_side
from plansgen.figures.speed_chart import draw_speeds
from plansgen.figures.stall_chart import draw_stall
from plansgen.figures.trim_chart import draw_trim
from plansgen.flight.result import FlightResult
from plansgen.library.design import Design


def draw_all(design: Design, dossier: Dossier) -> dict[str, Drawing]:
    """Draw a design. The credits are the only thing not in the dossier: title blocks name them."""
    credits = design.file.credits
    drawings = [draw_card(dossier)]
    drawings += [draw(dossier, credits) for draw in (draw_plan, draw_side, draw_front)]
    if dossier.balance.ready is not None:
        drawings += [draw_balance(dossier), draw_masses(dossier)]
    if dossier.flight is not None:
        drawings += _flight_drawings(dossier, dossier.flight)
    return {drawing.name: drawing for drawing in drawings}


def _flight_drawings(dossier: Dossier, flight: FlightResult) -> list[Drawing]:
    """Charts of how it flies; that of the elevator only where there is one."""
    drawings = [draw_balance_line(dossier), draw_speeds(dossier, flight)]
    drawings.append(draw_stall(dossier, flight))
    if has_elevator(flight):
        drawings.append(draw_elevator(dossier, flight))
    return [*drawings, draw_trim(dossier, flight)]
