"""All checks from outside, subject by subject.

Working them out takes about a second, nearly all of it lattices; it is done once.
"""

from __future__ import annotations

from functools import cache

from plansgen.published import (
    atmosphere,
    balance,
    camber,
    cross_sections,
    drive,
    frames,
    hinges,
    lift,
    loads,
    mass,
    materials,
    motions,
    nesting,
    planform,
    section,
    speeds,
    unrolling,
    wash,
    wires,
)
from plansgen.published.case import Case

ROOMS = (
    planform,
    section,
    mass,
    atmosphere,
    camber,
    lift,
    balance,
    wash,
    drive,
    wires,
    hinges,
    speeds,
    motions,
    materials,
    loads,
    cross_sections,
    frames,
    nesting,
    unrolling,
)


@cache
def cases() -> tuple[Case, ...]:
    """Every case, those of one room together."""
    return tuple(case for room in ROOMS for case in room.cases())


def cases_by_room() -> dict[str, tuple[Case, ...]]:
    """The cases under the name of their room."""
    rooms = dict.fromkeys(case.room for case in cases())
    return {name: tuple(case for case in cases() if case.room == name) for name in rooms}
