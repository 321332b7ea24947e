"""What the openings that a design gives take away from a part."""

from __future__ import annotations

import math
from itertools import pairwise

from plansgen.airframe.bodies import FramePoint
from plansgen.airframe.build import BodyPart, LiftingSurface
from plansgen.library.models import Opening, Part

_LEAST = 0.02  # a part that is all openings is a slip; what is left is never nothing


def left_of(part: Part, owner: LiftingSurface | BodyPart | None, amount: float) -> float:
    """Share of a sheet that its openings leave, as if they were spread over it evenly.

    Openings for items are left out: they are small, and filled again.

    Args:
        part: The sheet.
        owner: The surface or body that it belongs to.
        amount: Its area without openings, of one copy. [m²]
    """
    if not part.openings or amount <= 0.0:
        return 1.0
    copies = len(part.formers.at) if part.formers is not None else 1
    gone = copies * sum(_area(opening, part, owner) for opening in part.openings)
    return max(1.0 - gone / amount, _LEAST)


def open_across(part: Part, face: str, x: float, body: BodyPart) -> bool:
    """Whether the top or bottom of a body is open from side to side at x of the body frame. [m]"""
    return part.cover in ("all", "top", "bottom") and any(
        _is_gap(o) and (o.on or part.cover) == face and _over(o, x - body.origin[0])
        for o in part.openings
    )


def _is_gap(opening: Opening) -> bool:
    return opening.width is None and opening.height is None and opening.item is None


def _over(opening: Opening, x: float) -> bool:
    return (opening.from_ or 0.0) <= x <= (opening.to or 0.0)


def _area(opening: Opening, part: Part, owner: LiftingSurface | BodyPart | None) -> float:
    if opening.item is not None:
        return 0.0
    if opening.from_ is None or opening.to is None:
        area = (opening.width or 0.0) * (opening.height or 0.0)
    elif _is_gap(opening):
        assert isinstance(owner, BodyPart)  # the model refuses it elsewhere
        x0 = owner.origin[0]
        return _between(owner.frames, x0 + opening.from_, x0 + opening.to)
    else:
        area = (opening.to - opening.from_) * (opening.width or opening.height or 0.0)
    both = part.cover in ("sides", "all") and opening.on in (None, "both sides")
    return area * (math.pi / 4 if opening.round else 1.0) * (2 if both else 1)


def _between(frames: tuple[FramePoint, ...], start: float, end: float) -> float:
    """Area of the top or bottom of a body between two places along it. [m²]"""
    area = 0.0
    for fore, aft in pairwise(frames):
        west, east = max(start, fore.x), min(end, aft.x)
        if east > west:
            middle = ((west + east) / 2 - fore.x) / (aft.x - fore.x)
            area += (east - west) * (fore.width + (aft.width - fore.width) * middle)
    return area
