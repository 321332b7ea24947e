"""Booms and rear fuselages: what the tail does to them, and what their bending takes from the tail.

A body is a cantilever from the wing outwards, of the stiffness of its cuts, under the loads of
``body_loads``.

Source: beam and shaft theory (see ``deflection``); the part of a control's effect that a bent tail
gives back, from thin airfoil theory (H. Glauert).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Annotated, Literal

import numpy as np

from plansgen.airframe.build import BodyPart
from plansgen.flight.thin_airfoil import thin_flap
from plansgen.library.models import DesignFile
from plansgen.library.tables import Material
from plansgen.quantity import Quantity
from plansgen.structure.body_cut import body_cut
from plansgen.structure.body_loads import BodyLoad, End
from plansgen.structure.cases import is_service
from plansgen.structure.cut import Cut, CutProperties, Stress
from plansgen.structure.deflection import bent, twisted
from plansgen.structure.margins import Margins, margins_along
from plansgen.structure.section import properties
from plansgen.structure.stress_table import Loads

CutAt = Callable[[float], Cut]

_LOADS = ("shear", "bending", "torque", "side_shear", "side_bending", "axial")  # as in ``Loads``
_LAST = 0.995  # of the length: at the very end there may be no section left


@dataclass(frozen=True)
class Travel:
    """A control at its full travel. share: of the chord. travel: as felt [rad]."""

    control: Literal["elevator", "rudder"]
    travel: float
    share: float


@dataclass(frozen=True)
class BoomCase:
    """One body in one case, from the wing outwards.

    load: what it carries. up, side: how far its end moves, to starboard positive. pitch: how much
    it turns, end up positive; yaw: end to starboard positive; twist: as the torque. lost: of a
    case with a control at its full travel.
    """

    case: str
    load: BodyLoad
    reserves: tuple[Annotated[float, Quantity("1", "Reserve factor", "structure-boom")], ...]
    worst_x: Annotated[float, Quantity("m", "Weakest place, x", "structure-boom")]
    worst: Stress | None
    reserve: Annotated[float, Quantity("1", "Least reserve factor", "structure-boom")]
    up: Annotated[float, Quantity("m", "End moves up", "structure-boom-bend")]
    side: Annotated[float, Quantity("m", "End moves aside", "structure-boom-bend")]
    pitch: Annotated[float, Quantity("rad", "End turns up", "structure-boom-bend")]
    yaw: Annotated[float, Quantity("rad", "End turns aside", "structure-boom-bend")]
    twist: Annotated[float, Quantity("rad", "End twists", "structure-boom-bend")]
    lost: Annotated[
        float | None,
        Quantity("1", "Share of the control's effect lost", "structure-boom-authority", "%"),
    ]


@dataclass(frozen=True)
class BoomResult:
    """One end of one body. ignored: parts of unknown strength."""

    body: str
    title: str
    end: End
    cases: tuple[BoomCase, ...]
    worst: str
    reserve: Annotated[float, Quantity("1", "Least reserve factor", "structure-boom")]
    ignored: tuple[str, ...]


def bend_body(loads: Sequence[BodyLoad], cut_at: CutAt) -> tuple[BoomCase, ...]:
    """Reserve along one end of a body and how it moves, in each case.

    loads: of all cases, at the same places. cut_at: the cut at x. Nothing is told when some cut has
    nothing of known strength.
    """
    xs = loads[0].xs
    start, stop = xs[0], xs[-1]
    cuts = [
        cut_at(start + min(abs(x - start) / abs(stop - start), _LAST) * (stop - start)) for x in xs
    ]
    if not all(cut.pieces for cut in cuts):
        return ()
    stiff = [properties(cut) for cut in cuts]
    if min(min(one.bending, one.chord_bending, one.torsion) for one in stiff) <= 0.0:
        return ()
    rows = np.array([[getattr(load, name) for name in _LOADS] for load in loads])
    found = margins_along(xs, cuts, [Loads(*rows[:, :, place].T) for place in range(len(xs))])
    return tuple(_case(load, one, stiff) for load, one in zip(loads, found, strict=True))


def _case(load: BodyLoad, margin: Margins, stiff: Sequence[CutProperties]) -> BoomCase:
    worst_x, worst = margin.worst or (load.xs[0], None)
    return BoomCase(
        case=load.case,
        load=load,
        reserves=margin.reserves,
        worst_x=worst_x,
        worst=worst,
        reserve=margin.least,
        lost=None,
        **_moved(load, stiff),
    )


def _moved(load: BodyLoad, stiff: Sequence[CutProperties]) -> dict[str, float]:
    """How the end moves and turns. Slope is the integral of M/EI as twist is that of T/GJ."""
    along = [abs(x - load.xs[0]) for x in load.xs]
    ei, side_ei = [one.bending for one in stiff], [one.chord_bending for one in stiff]
    gj = [one.torsion for one in stiff]
    up = bent(spans=along, moments=load.bending, shears=load.shear, stiffness=ei)
    side = bent(spans=along, moments=load.side_bending, shears=load.side_shear, stiffness=side_ei)
    return {
        "up": float(up[-1]),
        "side": float(side[-1]),
        "pitch": float(twisted(spans=along, torques=load.bending, stiffness=ei)[-1]),
        "yaw": float(twisted(spans=along, torques=load.side_bending, stiffness=side_ei)[-1]),
        "twist": float(twisted(spans=along, torques=load.torque, stiffness=gj)[-1]),
    }


def share_lost(*, turn: float, deflection: float, chord_share: float) -> float:
    """Share of a control's effect that the tail's own turning gives back.

    turn: of the tail [rad]. deflection: of the control [rad]. chord_share: of the control. A
    control turned by δ does as much as the whole tail turned by τ δ.

    Source: thin airfoil theory, τ of a plain flap (Glauert).
    """
    return abs(turn) / (thin_flap(chord_share).effectiveness * abs(deflection))


def work_out_booms(
    design: DesignFile,
    bodies: Sequence[BodyPart],
    materials: Mapping[str, Material],
    loads: Sequence[BodyLoad],
    travels: Mapping[str, Travel],
    *,
    damp: bool = False,
) -> tuple[BoomResult, ...]:
    """Every end of a body that carries something, in every case.

    loads: as ``body_loads.body_load`` gives them. travels: by key of case, those with a control at
    its full travel. damp: strengths and moduli when damp. A body with a cut that has nothing of
    known strength is left out.
    """
    named = {body.key: body for body in bodies}
    done = []
    for key, end in sorted({(load.body, load.end) for load in loads}):
        cuts = _Cuts(named[key], design, materials, damp)
        cases = [
            _with_loss(case, travels.get(case.case) if end == "tail" else None)
            for case in bend_body([b for b in loads if (b.body, b.end) == (key, end)], cuts.at)
        ]
        if cases:
            asked = [case for case in cases if is_service(case.case)] or cases
            worst = min(asked, key=lambda case: case.reserve)
            done.append(
                BoomResult(
                    body=key,
                    title=named[key].title,
                    end=end,
                    cases=tuple(cases),
                    worst=worst.case,
                    reserve=worst.reserve,
                    ignored=cuts.ignored(),
                )
            )
    return tuple(done)


class _Cuts:
    """The cuts of one body, each made once."""

    def __init__(
        self, body: BodyPart, design: DesignFile, materials: Mapping[str, Material], damp: bool
    ) -> None:
        self.body, self.parts = body, design.bodies[body.key].parts
        self.materials, self.damp = materials, damp
        self.known: dict[float, Cut] = {}

    def at(self, x: float) -> Cut:
        if x not in self.known:
            self.known[x] = body_cut(self.body, self.parts, self.materials, x, damp=self.damp)
        return self.known[x]

    def ignored(self) -> tuple[str, ...]:
        return tuple(sorted({name for cut in self.known.values() for name in cut.ignored}))


def _with_loss(case: BoomCase, travel: Travel | None) -> BoomCase:
    if travel is None or travel.travel == 0.0:
        return case
    turn = case.pitch if travel.control == "elevator" else case.yaw
    lost = share_lost(turn=turn, deflection=travel.travel, chord_share=travel.share)
    return replace(case, lost=lost)
