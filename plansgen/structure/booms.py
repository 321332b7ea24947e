"""Booms and rear fuselages: what the tail does to them, and what their bending takes from the tail.

The body is a cantilever from the wing to the tail, of the stiffness of its cuts. Where two bodies
overlap, the stiffer one is taken to carry.

Source: beam and shaft theory (see ``deflection``); the part of a control's effect that a bent tail
gives back, from thin airfoil theory (H. Glauert).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Literal

import numpy as np

from plansgen.airframe.build import Airframe, BodyPart, LiftingSurface
from plansgen.flight.thin_airfoil import thin_flap
from plansgen.library.models import DesignFile
from plansgen.library.tables import Material
from plansgen.quantity import Quantity
from plansgen.structure.along import Array
from plansgen.structure.body_cut import body_cut
from plansgen.structure.braced_half import CaseLoads
from plansgen.structure.cut import Cut, CutProperties, Stress
from plansgen.structure.deflection import bent, twisted
from plansgen.structure.reserve import CAP
from plansgen.structure.section import properties, stresses

CutAt = Callable[[float], Cut | None]
Place = tuple[float, float, float]

STATIONS = 25
_TAILS = ("tailplane", "fin", "vee-tail")


@dataclass(frozen=True)
class TailForces:
    """Forces of the tail on its body, in the body frame. places, forces: (n, 3). [m, N]"""

    places: Array
    forces: Array


@dataclass(frozen=True)
class BoomCase:
    """One body in one case, root first.

    shear, bending: up positive. side_*: to starboard. torque: about the body's length. up, side:
    how far the tail moves. pitch, yaw: how much it turns, leading edge up, leading edge to
    starboard. twist: about the body's length.
    """

    case: str
    xs: tuple[Annotated[float, Quantity("m", "Along the body, x", "given-by-designer")], ...]
    shear: tuple[Annotated[float, Quantity("N", "Shear up", "structure-boom")], ...]
    bending: tuple[Annotated[float, Quantity("N m", "Bending up", "structure-boom")], ...]
    side_shear: tuple[Annotated[float, Quantity("N", "Shear aside", "structure-boom")], ...]
    side_bending: tuple[Annotated[float, Quantity("N m", "Bending aside", "structure-boom")], ...]
    torque: tuple[Annotated[float, Quantity("N m", "Torsion", "structure-boom")], ...]
    reserves: tuple[Annotated[float, Quantity("1", "Reserve factor", "structure-boom")], ...]
    worst_x: Annotated[float, Quantity("m", "Weakest place, x", "structure-boom")]
    worst: Stress | None
    reserve: Annotated[float, Quantity("1", "Least reserve factor", "structure-boom")]
    up: Annotated[float, Quantity("m", "Tail moves up", "structure-boom-bend")]
    side: Annotated[float, Quantity("m", "Tail moves aside", "structure-boom-bend")]
    pitch: Annotated[float, Quantity("rad", "Tail turns, leading edge up", "structure-boom-bend")]
    yaw: Annotated[float, Quantity("rad", "Tail turns aside", "structure-boom-bend")]
    twist: Annotated[float, Quantity("rad", "Tail twists", "structure-boom-bend")]
    lost: Annotated[
        float | None,
        Quantity("1", "Share of the control's effect lost", "structure-boom-authority", "%"),
    ]


@dataclass(frozen=True)
class BoomResult:
    """What carries the tail, from the wing to the tail. bodies: their titles. notes: in words."""

    bodies: tuple[str, ...]
    root_x: Annotated[float, Quantity("m", "Held here, x", "structure-boom")]
    tail_x: Annotated[float, Quantity("m", "Tail, x", "structure-boom")]
    cases: tuple[BoomCase, ...]
    worst: str
    reserve: Annotated[float, Quantity("1", "Least reserve factor", "structure-boom")]
    ignored: tuple[str, ...]


@dataclass(frozen=True)
class Resultant:
    """Shears, moments and torque at each x: what lies behind it. [N, N m]"""

    shear: Array
    bending: Array
    side_shear: Array
    side_bending: Array
    torque: Array


def behind(tail: TailForces, xs: Sequence[float], line: Sequence[tuple[float, float]]) -> Resultant:
    """Add up what acts behind each x.

    line: y and z of the body's middle at each x, about which torque is taken. [m]
    """
    at = np.asarray(xs)
    there = (tail.places[None, :, 0] > at[:, None]).astype(float)
    arm = tail.places[None, :, :] - np.column_stack([at, np.asarray(line)])[:, None, :]
    force = there[:, :, None] * tail.forces[None, :, :]
    moment = np.cross(arm, force).sum(axis=1)
    total = force.sum(axis=1)
    return Resultant(
        shear=total[:, 2],
        bending=-moment[:, 1],
        side_shear=total[:, 1],
        side_bending=moment[:, 2],
        torque=moment[:, 0],
    )


def bend_body(
    cut_at: CutAt,
    case: str,
    tail: TailForces,
    xs: Sequence[float],
    line: Sequence[tuple[float, float]],
) -> tuple[BoomCase, tuple[str, ...]] | None:
    """Reserve along a body and how its end moves, in one case; and parts of unknown strength.

    cut_at: the cut at x; None where there is none. xs: from where it is held to the tail [m].
    None when some cut between has nothing of known strength.
    """
    cuts = [cut_at(x) for x in xs]
    if any(cut is None or not cut.pieces for cut in cuts):
        return None
    known = [cut for cut in cuts if cut is not None]
    load = behind(tail, xs, line)
    stiff = [properties(cut) for cut in known]
    if any(min(one.bending, one.chord_bending, one.torsion) <= 0.0 for one in stiff):
        return None
    found = [
        min(
            stresses(
                cut,
                shear=float(load.shear[i]),
                bending=float(load.bending[i]),
                torque=float(load.torque[i]),
                chord_shear=float(load.side_shear[i]),
                chord_bending=float(load.side_bending[i]),
            ),
            key=lambda stress: stress.reserve,
            default=None,
        )
        for i, cut in enumerate(known)
    ]
    reserves = [CAP if one is None else min(CAP, one.reserve) for one in found]
    weakest = int(np.argmin(reserves))
    moved = _moved(xs, load, stiff)
    return BoomCase(
        case=case,
        xs=tuple(xs),
        shear=tuple(load.shear.tolist()),
        bending=tuple(load.bending.tolist()),
        side_shear=tuple(load.side_shear.tolist()),
        side_bending=tuple(load.side_bending.tolist()),
        torque=tuple(load.torque.tolist()),
        reserves=tuple(reserves),
        worst_x=xs[weakest],
        worst=found[weakest],
        reserve=reserves[weakest],
        lost=None,
        **moved,
    ), tuple(sorted({name for cut in known for name in cut.ignored}))


def _moved(
    xs: Sequence[float], load: Resultant, stiff: Sequence[CutProperties]
) -> dict[str, float]:
    """How the tail end moves and turns. The tail's leading edge goes down when its end goes up."""
    up = bent(
        spans=xs,
        moments=load.bending.tolist(),
        shears=load.shear.tolist(),
        stiffness=[one.bending for one in stiff],
    )
    side = bent(
        spans=xs,
        moments=load.side_bending.tolist(),
        shears=load.side_shear.tolist(),
        stiffness=[one.chord_bending for one in stiff],
    )
    turn = twisted(spans=xs, torques=load.torque.tolist(), stiffness=[one.torsion for one in stiff])
    return {
        "up": float(up[-1]),
        "side": float(side[-1]),
        "pitch": -_slope(xs, load.bending, [one.bending for one in stiff]),
        "yaw": -_slope(xs, load.side_bending, [one.chord_bending for one in stiff]),
        "twist": float(turn[-1]),
    }


def _slope(xs: Sequence[float], moments: Array, stiffness: Sequence[float]) -> float:
    """Slope at the end: the integral of M/EI, as a shaft's twist is that of T/GJ."""
    return float(twisted(spans=xs, torques=moments.tolist(), stiffness=stiffness)[-1])


def share_lost(*, turn: float, deflection: float, chord_share: float) -> float:
    """Share of a control's effect that the tail's own turning gives back.

    turn: of the tail, against the control [rad]. deflection: of the control [rad]. chord_share: of
    the control. A control turned by δ does as much as the whole tail turned by τ δ.

    Source: thin airfoil theory, τ = −α₀'/δ (Glauert).
    """
    return abs(turn) / (thin_flap(chord_share).effectiveness * abs(deflection))


# --- from the design -----------------------------------------------------------------------------


def tail_forces(surfaces: Sequence[LiftingSurface], case: CaseLoads) -> TailForces:
    """Forces of the tail surfaces in one case, both halves of mirrored ones."""
    places: list[Place] = []
    forces: list[Place] = []
    for surface in surfaces:
        for lump in case[surface.key].lumps if surface.key in case else ():
            places.append(lump.place)
            forces.append(lump.force)
            if surface.mirrored:
                (x, y, z), (a, b, c) = lump.place, lump.force
                sign = _twin(surface)
                places.append((x, -y, z))
                forces.append((sign * a, -sign * b, sign * c))
    return TailForces(np.array(places).reshape(-1, 3), np.array(forces).reshape(-1, 3))


def _twin(surface: LiftingSurface) -> int:
    """Twin fins blow the same way, so the far one's force is turned over; wings are like images."""
    return -1 if surface.role == "fin" else 1


class _Bodies:
    """The bodies on the centre line, by x: where several are, the stiffest."""

    def __init__(
        self, design: DesignFile, airframe: Airframe, materials: Mapping[str, Material], damp: bool
    ) -> None:
        self.bodies = [body for body in airframe.bodies if not body.mirrored]
        self.design, self.materials, self.damp = design, materials, damp
        self.used: dict[str, None] = {}

    def ends(self) -> float:
        """The aftmost x. [m]"""
        return max((body.frames[-1].x for body in self.bodies), default=-math.inf)

    def cut_at(self, x: float) -> Cut | None:
        """The cut of the stiffest body there."""
        found: list[tuple[float, str, Cut]] = []
        for body in self.bodies:
            if not body.frames[0].x < x < body.frames[-1].x:
                continue
            parts = self.design.bodies[body.key].parts
            cut = body_cut(body, parts, self.materials, x, damp=self.damp)
            if cut.pieces:
                found.append((properties(cut).bending, body.title, cut))
        if not found:
            return None
        _, title, cut = max(found, key=lambda row: row[:2])
        self.used[title] = None
        return cut

    def middle(self, x: float) -> tuple[float, float]:
        """Y and z of the middle of the body there. [m]"""
        there = [b for b in self.bodies if b.frames[0].x <= x <= b.frames[-1].x]
        body: BodyPart = max(there or self.bodies, key=lambda b: b.frames[-1].x)
        xs = [frame.x for frame in body.frames]
        y = float(np.interp(x, xs, [frame.y for frame in body.frames]))
        return y, float(np.interp(x, xs, [frame.z for frame in body.frames]))


def work_out_boom(
    design: DesignFile,
    airframe: Airframe,
    materials: Mapping[str, Material],
    loads: Mapping[str, CaseLoads],
    deflections: Mapping[str, tuple[Literal["elevator", "rudder"], float, float]],
    *,
    damp: bool = False,
) -> BoomResult | None:
    """What carries the tail, in every case; None when no body reaches from wing to tail.

    loads: by key of case and of surface. deflections: of the cases with a control at its full
    travel, by key of case: which, its travel [rad] and its share of the chord.
    """
    tails = [surface for surface in airframe.surfaces if surface.role in _TAILS]
    wings = [surface for surface in airframe.surfaces if surface.role == "wing"]
    bodies = _Bodies(design, airframe, materials, damp)
    if not tails or not wings:
        return None
    root = max(wing.stations[0].x + wing.stations[0].chord for wing in wings)
    tail = min(max(s.stations[0].x + s.stations[0].chord / 4 for s in tails), bodies.ends() - 1e-3)
    if tail <= root:
        return None
    xs = np.linspace(root, tail, STATIONS).tolist()
    line = [bodies.middle(x) for x in xs]
    cases: list[BoomCase] = []
    ignored: set[str] = set()
    for key, case in loads.items():
        forces = tail_forces(tails, case)
        if not len(forces.places):
            continue
        found = bend_body(bodies.cut_at, key, forces, xs, line)
        if found is None:
            return None
        cases.append(_with_loss(found[0], deflections.get(key)))
        ignored.update(found[1])
    if not cases:
        return None
    worst = min(cases, key=lambda case: case.reserve)
    return BoomResult(
        bodies=tuple(bodies.used),
        root_x=root,
        tail_x=tail,
        cases=tuple(cases),
        worst=worst.case,
        reserve=worst.reserve,
        ignored=tuple(sorted(ignored)),
    )


def _with_loss(
    case: BoomCase, control: tuple[Literal["elevator", "rudder"], float, float] | None
) -> BoomCase:
    if control is None:
        return case
    which, travel, share = control
    turn = case.pitch if which == "elevator" else case.yaw
    return replace(case, lost=share_lost(turn=turn, deflection=travel, chord_share=share))
