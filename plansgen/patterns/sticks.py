"""Sticks cut to length: which pieces come from which stick, and how many sticks to buy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

MICRO = 1_000_000  # micrometres in a metre


@dataclass(frozen=True)
class StickPiece:
    """A piece of stick: what it is for and how long. [m]"""

    name: str
    length: float
    count: int = 1


@dataclass(frozen=True)
class CutStick:
    """One stick and the pieces cut from it, as (name, length [m]); rest: what is left over. [m]"""

    pieces: tuple[tuple[str, float], ...]
    rest: float


@dataclass(frozen=True)
class CutList:
    """Sticks to buy and how to cut them.

    bound: no way of cutting needs fewer sticks. too_long: pieces longer than a stick, by name; they
    need a joint or a longer stick.
    """

    sticks: tuple[CutStick, ...]
    bound: int
    too_long: tuple[str, ...]


def cut_list(pieces: Sequence[StickPiece], *, stick: float, kerf: float) -> CutList:
    """Cut pieces from sticks, the longest first, each from the first stick that still holds it.

    First-fit decreasing needs at most 11/9 of the fewest sticks possible and 6/9 of one more
    (Dósa 2007, ESCAPE, LNCS 4614, pp 1-11). Decisions are on whole micrometres.

    Args:
        pieces: What to cut.
        stick: Length of a stick. [m]
        kerf: Width of the saw cut; a last piece that ends with the stick needs none. [m]

    Returns:
        The sticks; the bound is the summed length with a cut each, over the length and a cut.
    """
    whole, cut = round(stick * MICRO), round(kerf * MICRO)
    wanted = [(round(p.length * MICRO), p.name) for p in pieces for _ in range(p.count)]
    too_long = dict.fromkeys(name for length, name in wanted if length > whole)
    fitting = [(length, name) for length, name in wanted if length <= whole]
    sticks: list[list[tuple[int, str]]] = []
    left: list[int] = []
    for length, name in sorted(fitting, key=lambda piece: -piece[0]):
        number = next((n for n, rest in enumerate(left) if length + cut <= rest), len(sticks))
        if number == len(sticks):
            sticks.append([])
            left.append(whole + cut)
        sticks[number].append((length, name))
        left[number] -= length + cut
    bound = -(-sum(length + cut for length, _ in fitting) // (whole + cut))
    return CutList(
        tuple(
            CutStick(
                tuple((name, length / MICRO) for length, name in stick_pieces),
                max(0, whole - sum(length + cut for length, _ in stick_pieces)) / MICRO,
            )
            for stick_pieces in sticks
        ),
        bound,
        tuple(too_long),
    )
