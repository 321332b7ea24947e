"""The balance in a builder's words: what to move, which way, and how far it may be off."""

from __future__ import annotations

from dataclasses import dataclass, replace

from plansgen.dossier import Dossier
from plansgen.site.format import Shown, show
from plansgen.site.numbers import Numbers, NumberView

NOTHING_TO_MOVE = 5e-4  # metres; nobody slides a battery or finds a balance point more finely


@dataclass(frozen=True)
class Move:
    """What brings the model as it usually flies onto its target.

    slide: of the battery, without sign, none where there is nothing to slide. way: in which
    direction. to_end: whether the bay ends there. ballast: what is still needed. done: it
    balances where it must.
    """

    slide: NumberView | None
    way: str
    to_end: bool
    ballast: NumberView | None
    place: str
    done: bool


def move_of(dossier: Dossier, numbers: Numbers) -> Move | None:
    """The remedy of the usual loading in words; none without a target or without masses."""
    ready = dossier.balance.ready
    if ready is None or ready.remedy is None:
        return None
    remedy = ready.remedy
    slide, way = None, ""
    if remedy.battery_x is not None and ready.battery_x is not None:
        by = remedy.battery_x - ready.battery_x
        if abs(by) >= NOTHING_TO_MOVE:
            way = "aft" if by > 0 else "forward"
            slide = replace(numbers.view(remedy, "slide"), shown=show(abs(by), "m"))
    ballast = remedy.ballast
    return Move(
        slide=slide,
        way=way,
        to_end=not remedy.reached,
        ballast=numbers.view(ballast, "mass") if ballast else None,
        place=ballast.place if ballast else "",
        done=abs(remedy.offset) < NOTHING_TO_MOVE,
    )


def allowed_of(dossier: Dossier) -> tuple[Shown, Shown] | None:
    """The limits of the balance point, behind the wing's root leading edge."""
    target, root = dossier.balance.target, dossier.airframe.reference.root_x
    if target is None:
        return None
    return show(target.forward_x - root, "m"), show(target.aft_x - root, "m")


def bay_of(dossier: Dossier) -> tuple[Shown, Shown] | None:
    """Where the middle of the battery may sit, from the datum."""
    bay = dossier.balance.bay
    return (show(bay[0], "m"), show(bay[1], "m")) if bay else None


def heavy_side(dossier: Dossier) -> str:
    """The heavy side, ``port`` or ``starboard``; ``centre`` within a twentieth of a millimetre."""
    lateral = dossier.balance.lateral
    if lateral is None or abs(lateral.y) < 5e-5:
        return "centre"
    return "starboard" if lateral.y > 0 else "port"
