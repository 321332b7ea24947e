"""Panels longer than any sheet: where they are parted, so that a joint is easy and strong."""

from __future__ import annotations

import math
from collections.abc import Sequence

from plansgen.patterns.unrolled import Unrolled

STRAP = 0.05
"""A butt joint has a strap glued over it inside, so far to each side. Common practice. [m]"""

_TRY = 0.005  # places are tried at this distance [m]
_TRIES = 60
_Worth = tuple[float, float]


def joints(
    sheet: Unrolled, *, start: float, end: float, longest: float, clear: Sequence[float]
) -> list[float]:
    """Where to part a sheet along the body into as few pieces as its stock allows. [m]

    Args:
        sheet: The whole face, unrolled.
        start: Where it begins along the body. [m]
        end: Where it ends. [m]
        longest: No piece is longer on the flat. [m]
        clear: Places along the body whose neighbourhood has no room for a strap: formers, and
            joints of the other faces. [m]

    Returns:
        Joints from the front; each as near to even pieces as a strap's room on both sides, clear of
        bends, allows.
    """
    if sheet.length <= longest:
        return []
    count = math.ceil(sheet.length / longest)
    found: list[float] = []
    for number in range(1, count):
        ideal = start + (end - start) * number / count
        before = found[-1] if found else start
        tries = sorted(
            (ideal + n * _TRY for n in range(-_TRIES, _TRIES + 1)),
            key=lambda x: (abs(x - ideal), x),
        )
        fitting = [
            x
            for x in tries
            if before < x < end
            and sheet.at(x) - sheet.at(before) <= longest
            and sheet.at(end, ahead=True) - sheet.at(x) <= (count - number) * longest
        ]
        taken = [*clear, *(bend.x for bend in sheet.bends)]

        def worth(x: float, ideal: float = ideal, taken: Sequence[float] = taken) -> _Worth:
            room = min([STRAP, *(abs(x - place) for place in taken)])
            return round(room, 4), -abs(x - ideal)

        found.append(max(fitting or [ideal], key=worth))
    return found
