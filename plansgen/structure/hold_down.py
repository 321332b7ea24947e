"""What holds a wing on its body: how many bands, bolts or ties, and what that is worth.

What pulls the wing off its seat and what pushes it along come from the loads at its root, so that
struts and wires are already taken off. Friction on the seat is left out. Front and rear share by
the lever rule; pull and push add as squares.

Source: statics; fasteners as in the packaged table.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Literal

import numpy as np

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.library.fasteners import Fastener, fasteners
from plansgen.library.models import DesignFile
from plansgen.library.models.structure import HoldDown
from plansgen.quantity import Quantity
from plansgen.structure.along import reference_line
from plansgen.structure.braced_half import CaseLoads
from plansgen.structure.cases import is_service
from plansgen.structure.reserve import CAP, reserve_factor
from plansgen.structure.span_loads import SpanLoad

Sits = Literal["on top", "underneath"]

BAND_ANGLE = math.radians(45)  # of a band from wing to dowel (estimate)
ASKED = (
    *("pull-up", "full-pull", "push", "gust-up", "gust-down"),
    *("elevator-nose-up", "elevator-nose-down", "hand-launch", "nose"),
)
"""Cases that pull a wing off its seat or push it along; elevons do so too."""
_MOST = 99  # fasteners; more than this is no advice


@dataclass(frozen=True)
class HoldCase:
    """One case. pull: of the wing off its seat, 0 when it is pressed on. slide: along the body.

    front, rear: what of the pull comes on the front and the rear ones. least: count that gives
    the wanted reserve, None where none up to 99 does.
    """

    case: str
    pull: Annotated[float, Quantity("N", "Pull off its seat", "structure-hold-down")]
    slide: Annotated[float, Quantity("N", "Push along the body", "structure-hold-down")]
    front: Annotated[float, Quantity("N", "Pull in front", "structure-hold-down")]
    rear: Annotated[float, Quantity("N", "Pull in the rear", "structure-hold-down")]
    reserve: Annotated[float, Quantity("1", "Reserve factor", "structure-hold-down")]
    least: int | None


@dataclass(frozen=True)
class HoldDownResult:
    """What holds one wing. worst, least: over the cases of service, in which it must not let go.

    lets_go: it is of a kind that must give in a crash (bands). gives_on_nose: whether it does so
    in a landing on the nose; None where that case is not there.
    """

    surface: str
    title: str
    fastener: str
    name: str
    count: int
    sits: Sits
    one_holds: Annotated[float, Quantity("N", "One holds", "structure-fastener")]
    cases: tuple[HoldCase, ...]
    worst: str
    reserve: Annotated[float, Quantity("1", "Least reserve factor", "structure-hold-down")]
    least: int | None
    lets_go: bool
    gives_on_nose: bool | None


@dataclass(frozen=True)
class RootLoad:
    """What both halves of a wing do to the body.

    up, forward: forces [N]. x: where the up force acts, None where there is next to none. [m]
    """

    up: float
    forward: float
    x: float | None


def root_load(surface: LiftingSurface, load: SpanLoad, *, axis: float) -> RootLoad:
    """Both halves of a wing on the body, from the loads at the root. axis: as for its torque."""
    line = reference_line(surface, np.array([0.0]), axis=axis)
    halves = 2 if surface.mirrored else 1
    force = load.shear[0] * line.normal[0] + load.axial[0] * line.spanwise[0]
    up, aft = halves * float(force[2]), halves * load.chord_shear[0]
    # The moment about the athwart axis at the line's root; nose up is positive, as torque is.
    moment = load.torque[0] * line.spanwise[0] - load.chord_bending[0] * line.normal[0]
    pitch = halves * float(moment[1])
    x = float(line.points[0][0]) - pitch / up if abs(up) > 1e-9 else None
    return RootLoad(up=up, forward=-aft, x=x)


def sits(surface: LiftingSurface, airframe: Airframe) -> Sits:
    """Whether a wing sits on top of the body under its root, or underneath; on top if unsure."""
    root = surface.stations[0]
    middle = root.x + root.chord / 2
    bodies = [b for b in airframe.bodies if not b.mirrored and b.role in ("fuselage", "pod")]
    for body in bodies:
        xs = [frame.x for frame in body.frames]
        if xs[0] <= middle <= xs[-1]:
            height = float(np.interp(middle, xs, [frame.z for frame in body.frames]))
            return "on top" if root.z >= height else "underneath"
    return "on top"


def _split(
    pull: float, x: float | None, held: HoldDown, surface: LiftingSurface
) -> tuple[float, float]:
    """What comes on front and rear by the lever rule; a dowel at the leading edge stands in."""
    front = held.front if held.front is not None else surface.stations[0].x
    rear = held.rear
    if rear is None or x is None or rear <= front:
        return pull / 2, pull / 2
    share = (x - front) / (rear - front)
    return pull * (1 - share), pull * share


def _each_end(held: HoldDown, fastener: Fastener, count: float) -> tuple[float, float]:
    """How many hold in front and in the rear; every band holds at both."""
    if fastener.kind == "band":
        return count, count
    if held.front is None and held.rear is not None:
        return 0.0, count  # a dowel or tongue in front
    return count / 2, count / 2


def _reserve(
    pulls: tuple[float, float],
    slide: float,
    held: HoldDown,
    fastener: Fastener,
    count: float,
) -> float:
    """Least reserve of front and rear: 1/√((pull/holds)² + (push/holds sideways)²)."""
    numbers = _each_end(held, fastener, count)
    down = fastener.pull * (math.sin(BAND_ANGLE) if fastener.kind == "band" else 1.0)
    sideways = fastener.pull * fastener.shear_share
    holders = numbers[1] if fastener.kind == "band" else sum(numbers)
    pushed = abs(slide) / holders / sideways
    used = [
        math.hypot(max(pull, 0.0) / number / down, pushed)
        for pull, number in zip(pulls, numbers, strict=True)
        if number > 0
    ]
    return reserve_factor(strength=1.0, load=max(used))


def _least(
    pulls: tuple[float, float], slide: float, held: HoldDown, fastener: Fastener, wanted: float
) -> int | None:
    step = 1 if fastener.kind == "band" or held.front is None else 2  # front and rear alike
    for count in range(step, _MOST + 1, step):
        if _reserve(pulls, slide, held, fastener, count) >= wanted:
            return count
    return None


def hold_down(
    held: HoldDown,
    surface: LiftingSurface,
    loads: Mapping[str, RootLoad],
    *,
    seat: Sits,
    wanted: float,
    nose: str = "nose",
) -> HoldDownResult:
    """What one kind of fastener holds in every case.

    loads: by key of case. wanted: reserve factor. nose: key of the landing on the nose, in which
    bands must let go.
    """
    fastener = fasteners()[held.fastener]
    cases = []
    for key, load in loads.items():
        pull = max(0.0, load.up if seat == "on top" else -load.up)
        pulls = _split(pull, load.x, held, surface)
        cases.append(
            HoldCase(
                case=key,
                pull=pull,
                slide=load.forward,
                front=pulls[0],
                rear=pulls[1],
                reserve=_reserve(pulls, load.forward, held, fastener, held.count),
                least=_least(pulls, load.forward, held, fastener, wanted),
            )
        )
    holding = [case for case in cases if is_service(case.case)]
    worst = min(holding, key=lambda case: case.reserve, default=None)
    counts = [case.least for case in holding]
    known = [count for count in counts if count is not None]
    on_nose = next((case for case in cases if case.case == nose), None)
    return HoldDownResult(
        surface=surface.key,
        title=surface.title,
        fastener=held.fastener,
        name=fastener.name,
        count=held.count,
        sits=seat,
        one_holds=fastener.pull,
        cases=tuple(cases),
        worst=worst.case if worst else "",
        reserve=worst.reserve if worst else CAP,
        least=max(known) if known and len(known) == len(counts) else None,
        lets_go=fastener.lets_go,
        gives_on_nose=None if on_nose is None else on_nose.reserve < 1.0,
    )


def work_out_hold_down(
    design: DesignFile,
    airframe: Airframe,
    loads: Mapping[str, CaseLoads],
    axes: Mapping[str, float],
    *,
    cases: Sequence[str] = ASKED,
) -> tuple[HoldDownResult, ...]:
    """Everything that the design says holds a wing on.

    loads: by key of case and of surface, as left by the bracing. axes: share of the chord that
    each surface's torque is about. cases: those that are looked at, where there.
    """
    found = []
    for held in design.structure.hold_down:
        surface = airframe.surface(held.surface)
        roots = {
            case: root_load(surface, loads[case][surface.key], axis=axes[surface.key])
            for case in cases
            if surface.key in loads.get(case, {})
        }
        found.append(
            hold_down(
                held,
                surface,
                roots,
                seat=sits(surface, airframe),
                wanted=design.structure.reserve,
            )
        )
    return tuple(found)
