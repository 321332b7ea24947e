"""Shear, bending and torsion along bodies and booms, from tail loads and what they carry.

A body is held where the wing sits on it. Behind that it is a cantilever with the tail's air forces
and everything aft pulling on it; ahead of it the nose carries motor, battery and foreplane. Nothing
is said about the part between, where wing and body share the load. The model's turning under a
sudden tail load is left out, which is on the safe side.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Literal

import numpy as np
from numpy.typing import NDArray

from plansgen.airframe.build import BodyPart
from plansgen.quantity import Quantity
from plansgen.structure.along import Forces
from plansgen.structure.cases import LoadCase
from plansgen.structure.grains import Grain
from plansgen.structure.masses import MIDDLE
from plansgen.structure.span_loads import Loader

Array = NDArray[np.float64]
End = Literal["tail", "nose"]

_CUTS = 31
_BESIDE = 1e-6  # m


@dataclass(frozen=True)
class BodyLoad:
    """One end of a body in one case, from the wing outwards. [m, N, N m]

    shear: of what lies beyond the cut, up positive; side_shear to starboard. bending: the end bent
    up positive (top in compression); side_bending: the end bent to starboard. torque: top of the
    end pushed to port. axial: tension.
    """

    case: str
    body: str
    end: End
    xs: tuple[Annotated[float, Quantity("m", "Along the body, x", "given-by-designer")], ...]
    shear: tuple[Annotated[float, Quantity("N", "Shear", "structure-load-body")], ...]
    bending: tuple[Annotated[float, Quantity("N m", "Bending", "structure-load-body")], ...]
    side_shear: tuple[Annotated[float, Quantity("N", "Shear sideways", "structure-load-body")], ...]
    side_bending: tuple[
        Annotated[float, Quantity("N m", "Bending sideways", "structure-load-body")], ...
    ]
    torque: tuple[Annotated[float, Quantity("N m", "Torsion", "structure-load-body")], ...]
    axial: tuple[Annotated[float, Quantity("N", "Pull along it", "structure-load-body")], ...]


def _wing_reach(loader: Loader, body: BodyPart) -> tuple[float, float] | None:
    """Foremost and aftmost x of wings where the body passes them. [m]"""
    ends = []
    for wing in loader.airframe.surfaces:
        if wing.role != "wing":
            continue
        y = abs(body.frames[0].y)
        station = min(wing.stations, key=lambda s: abs(s.y - y))
        ends.append((station.x, station.x + station.chord))
    return (min(a for a, _ in ends), max(b for _, b in ends)) if ends else None


def beams_of(loader: Loader) -> tuple[BodyPart, ...]:
    """Bodies worth asking: pairs held by a wing, and on the centre line what no other contains."""
    bodies = loader.airframe.bodies

    def inside(one: BodyPart, other: BodyPart) -> bool:
        within = other.frames[0].x <= one.frames[0].x and one.frames[-1].x <= other.frames[-1].x
        return within and one.measures.length < other.measures.length

    centre = [b for b in bodies if not b.mirrored]
    kept = [b for b in centre if not any(inside(b, other) for other in centre if other is not b)]
    pairs = [b for b in bodies if b.mirrored and len([*loader.holders.chain(b.key)]) > 1]
    return (*kept, *(b for b in pairs if b.role != "float"))


def _held(loader: Loader, body: BodyPart, home: str) -> bool:
    """Whether a body carries a thing: itself, what stands on it, or all of the middle's."""
    if body.mirrored:
        return body.key in loader.holders.chain(home)
    surfaces = {s.key: s for s in loader.airframe.surfaces}
    last = ([*loader.holders.chain(home)] or [MIDDLE])[-1]
    return not (last in surfaces and surfaces[last].role == "wing")


def _inertia(loader: Loader, case: LoadCase, body: BodyPart, pair: Sequence[Grain]) -> Forces:
    """Forces of what a body carries, both sides where it lies on the centre line."""
    homes = [loader.holders.home(g) for g in pair]
    mine = {home for home in set(homes) if _held(loader, body, home)}
    kept = [g for g, home in zip(pair, homes, strict=True) if home in mine]
    if not kept:
        return Forces.none()
    places = np.array([g.place for g in kept])
    masses = np.array([g.mass if body.mirrored else g.total for g in kept])
    if not body.mirrored:
        places[[g.pair for g in kept], 1] = 0.0  # of the two together
    forces = masses[:, None] * loader.field(case, places)
    return Forces.points(places, forces, places[:, 0])


def _air(loader: Loader, case: LoadCase, body: BodyPart) -> Forces:
    """The air's forces on tails that a body carries."""
    total = Forces.none()
    for key, half in loader.in_air(case)[1].items():
        surface = loader.airframe.surface(key)
        if surface.role == "wing" or not _held(loader, body, key):
            continue
        total = total + Forces.points(half.places, half.forces, half.places[:, 0])
        if surface.mirrored and not body.mirrored:
            total = total + _port(loader, case, key, half)
    return total


def _port(loader: Loader, case: LoadCase, key: str, starboard: Forces) -> Forces:
    """The port half: the mirror image in a level case, else as the lattice has it."""
    sideways = any(name.endswith(".yaw") for name in case.deflections)
    if case.sideslip or sideways:
        half = loader.air.on_halves(case, port=True)[1][key]
        return Forces.points(half.places, half.forces, half.places[:, 0])
    flip = np.array([1.0, -1.0, 1.0])
    return Forces.points(starboard.places * flip, starboard.forces * flip, starboard.places[:, 0])


def body_load(
    loader: Loader, case: LoadCase, body: BodyPart, *, end: End = "tail"
) -> BodyLoad | None:
    """What one end of a body or boom must carry; None where it does not reach beyond the wing.

    end: tail, aft of the wing, or nose, ahead of it.
    """
    reach = _wing_reach(loader, body)
    first, last = body.frames[0].x, body.frames[-1].x
    if reach is None:
        return None
    start, stop = (max(reach[1], first), last) if end == "tail" else (min(reach[0], last), first)
    sense = 1.0 if end == "tail" else -1.0
    if (stop - start) * sense <= _BESIDE:
        return None
    forces = _inertia(loader, case, body, loader.grains) + _air(loader, case, body)
    if case.kind == "nose" and end == "nose" and not body.mirrored:
        forces = forces + _stopped(loader, case, body)
    xs = np.linspace(start, stop, _CUTS)
    return _resolve(case.key, body, end, xs, forces)


def _stopped(loader: Loader, case: LoadCase, body: BodyPart) -> Forces:
    """The ground that stops the whole model at its nose."""
    front = body.frames[0]
    place = np.array([[front.x, front.y, front.z]])
    push = np.array([[-case.along * loader.state.mass, 0.0, 0.0]])
    return Forces.points(place, push, place[:, 0])


def _axis(body: BodyPart, xs: Array) -> Array:
    frames = body.frames
    at = [f.x for f in frames]
    y, z = (np.interp(xs, at, [getattr(f, n) for f in frames]) for n in ("y", "z"))
    return np.column_stack([xs, y, z])


def _resolve(case: str, body: BodyPart, end: End, xs: Array, forces: Forces) -> BodyLoad:
    """Add up what lies beyond each cut."""
    sense = 1.0 if end == "tail" else -1.0
    beyond = (forces.places[None, :, 0] - xs[:, None]) * sense > _BESIDE
    outer = beyond[:, :, None] * forces.forces
    force = outer.sum(axis=1)
    moment = np.cross(forces.places - _axis(body, xs)[:, None, :], outer).sum(axis=1)
    return BodyLoad(
        case=case,
        body=body.key,
        end=end,
        xs=tuple(xs.tolist()),
        shear=tuple(force[:, 2].tolist()),
        bending=tuple((-sense * moment[:, 1]).tolist()),
        side_shear=tuple(force[:, 1].tolist()),
        side_bending=tuple((sense * moment[:, 2]).tolist()),
        torque=tuple(moment[:, 0].tolist()),
        axial=tuple((sense * force[:, 0]).tolist()),
    )
