"""Every drawing of a design, by name."""

from __future__ import annotations

from plansgen.dossier import Dossier
from plansgen.figures.alternatives_chart import draw_alternatives
from plansgen.figures.balance_diagram import draw_balance
from plansgen.figures.balance_line import draw_balance_line
from plansgen.figures.bracing_drawing import draw_bracing
from plansgen.figures.card import draw_card
from plansgen.figures.cuts_drawing import draw_cuts
from plansgen.figures.elevator_chart import draw_elevator, has_elevator
from plansgen.figures.front_view import draw_front
from plansgen.figures.linkage_drawing import draw_linkages
from plansgen.figures.loads_chart import draw_loads
from plansgen.figures.mass_chart import draw_masses
from plansgen.figures.plan_layers import draw_plan_layers
from plansgen.figures.plan_view import draw_plan
from plansgen.figures.power_chart import draw_power
from plansgen.figures.reach_chart import draw_reach
from plansgen.figures.reserve_chart import draw_reserve
from plansgen.figures.save import Drawing
from plansgen.figures.side_view import draw_side
from plansgen.figures.speed_chart import draw_speeds
from plansgen.figures.stall_chart import draw_stall
from plansgen.figures.static_test_drawing import draw_static_test
from plansgen.figures.strength_cases import surface_shown
from plansgen.figures.trim_chart import draw_trim
from plansgen.figures.wiring_diagram import draw_wiring
from plansgen.flight.result import FlightResult
from plansgen.library.design import Design
from plansgen.structure.result import StructureResult


def draw_all(design: Design, dossier: Dossier) -> dict[str, Drawing]:
    """Draw a design. The credits are the only thing not in the dossier: title blocks name them."""
    credits = design.file.credits
    drawings = [draw_card(dossier)]
    drawings += [draw(dossier, credits) for draw in (draw_plan, draw_side, draw_front)]
    drawings += draw_plan_layers(design, dossier)
    if dossier.balance.ready is not None:
        drawings += [draw_balance(dossier), draw_masses(dossier)]
    if dossier.flight is not None:
        drawings += _flight_drawings(dossier, dossier.flight)
    if dossier.structure is not None and dossier.structure.surfaces:
        drawings += _strength_drawings(dossier, dossier.structure)
    drawings += draw_linkages(dossier)
    drawings += _power_drawings(dossier)
    return {drawing.name: drawing for drawing in drawings}


def _power_drawings(dossier: Dossier) -> list[Drawing]:
    """Thrust over speed, what else could drive it, and who is wired to whom."""
    drawings, flight = [], dossier.flight
    if dossier.drive is not None and flight is not None and flight.powered is not None:
        drawings.append(
            draw_power(dossier.name, dossier.drive, flight.powered, stall=flight.stall.speed)
        )
    if dossier.wiring is not None:
        drawings.append(draw_wiring(dossier.name, dossier.wiring))
    if dossier.choices:
        drawings.append(draw_alternatives(dossier.name, dossier.choices))
    return drawings


def _flight_drawings(dossier: Dossier, flight: FlightResult) -> list[Drawing]:
    """Charts of how it flies; that of the elevator only where there is one."""
    drawings = [draw_balance_line(dossier), draw_speeds(dossier, flight)]
    drawings.append(draw_stall(dossier, flight))
    if has_elevator(flight):
        drawings.append(draw_elevator(dossier, flight))
    return [*drawings, draw_trim(dossier, flight)]


def _strength_drawings(dossier: Dossier, structure: StructureResult) -> list[Drawing]:
    """Charts of the strength of the weakest wing; bracing and bench test where there are any."""
    main = surface_shown(dossier.airframe, structure.surfaces)
    drawings = [
        draw_loads(dossier, main),
        draw_reserve(dossier, main, wanted=structure.wanted),
        draw_reach(dossier, main),
        draw_cuts(dossier, main),
    ]
    if structure.bracing is not None:
        drawings.append(draw_bracing(dossier, structure.bracing))
    if structure.static_test is not None:
        drawings.append(draw_static_test(dossier, structure.static_test))
    return [drawing for drawing in drawings if drawing is not None]
