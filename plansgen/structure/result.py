"""The whole structure of a design, in order.

1. Members of every surface, and how stiff the tips are.
2. Load cases, and what each does along every half (:mod:`plansgen.structure.cases`).
3. Bracing, which changes those loads (:mod:`plansgen.structure.wires`).
4. Every surface: reserve factors, spar reach, sticks, cuts, advice.
5. Joints, hold-down, mounts, booms and body.
6. The static test.

All of it is a calculation on home materials and no proof. The static test is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Annotated, Literal

import numpy as np

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.atmosphere import GRAVITY
from plansgen.balance.result import BalanceResult
from plansgen.flight.handling import THRUST_TO_WEIGHT
from plansgen.flight.result import FlightResult, thrust_of
from plansgen.library.models import DesignFile
from plansgen.library.tables import Material
from plansgen.quantity import Quantity
from plansgen.structure.body_loads import End, beams_of, body_load
from plansgen.structure.booms import BoomCase, BoomResult, Travel, work_out_booms
from plansgen.structure.cases import LoadCase, cases_of, is_service
from plansgen.structure.deflection import tip_stiffness
from plansgen.structure.elastic import sheet_of, solid_of
from plansgen.structure.hold_down import HoldDownResult, work_out_hold_down
from plansgen.structure.joints import JointResult, with_damp, work_out_joints
from plansgen.structure.margins import Build, Half
from plansgen.structure.mounts import MountResult, work_out_mounts
from plansgen.structure.reserve import CAP
from plansgen.structure.span_loads import Loader, SpanLoad
from plansgen.structure.static_test import StaticTest, static_test_of
from plansgen.structure.strength import Suggestion, SurfaceStrength
from plansgen.structure.suggest_holds import Anew, other_suggestions
from plansgen.structure.surface_strength import SHOWN, LoadedSurface, surface_strength
from plansgen.structure.wires import Bracing, work_out_bracing

_ALONG = (
    *("xs", "shear", "bending", "side_shear", "side_bending"),
    *("torque", "axial"),
)
_BODIES = ("fuselage", "pod")
_MOST_STICKS = 40  # a half: each must be placed and glued to the others in every cut
_MOST_BODY = 0.3  # of the half span: no body is wider than that


@dataclass(frozen=True)
class StructureResult:
    """Everything about whether it holds.

    surfaces: wings first, then tails. bracing: without the loads that it leaves; those are in the
    surfaces. booms: loads along them of the worst case only. unknown: parts of whose strength
    nothing is known. notes: what was left out and why.
    """

    wanted: Annotated[float, Quantity("1", "Reserve factor wanted", "structure-margin")]
    least: Annotated[float, Quantity("1", "Least reserve factor of a surface", "structure-margin")]
    surfaces: tuple[SurfaceStrength, ...]
    bracing: Bracing | None
    joints: tuple[JointResult, ...]
    hold_downs: tuple[HoldDownResult, ...]
    mounts: tuple[MountResult, ...]
    booms: tuple[BoomResult, ...]
    static_test: StaticTest | None
    suggestions: tuple[Suggestion, ...]
    unknown: tuple[str, ...]
    notes: tuple[str, ...]


class _Work:
    """One design on its way."""

    def __init__(
        self,
        design: DesignFile,
        airframe: Airframe,
        balance: BalanceResult,
        flight: FlightResult,
        materials: Mapping[str, Material],
    ) -> None:
        self.design, self.airframe, self.materials = design, airframe, materials
        self.balance, self.flight = balance, flight
        order = sorted(airframe.surfaces, key=lambda surface: surface.role != "wing")
        builds = {s.key: Build(s, design.surfaces[s.key].parts, materials) for s in order}
        halves = {key: build.half() for key, build in builds.items()}
        for surface in order:
            _check_sticks(surface, halves[surface.key])
        self.halves = {key: half for key, half in halves.items() if _known(half)}
        self.builds = {key: builds[key] for key in self.halves}
        self.surfaces = tuple(s for s in order if s.key in self.halves)
        self.notes = [
            f"Nothing is known of the strength of the {s.title}."
            for s in order
            if s.key not in self.halves
        ]

    @property
    def has_wing(self) -> bool:
        """Whether the strength of any wing is known."""
        return any(surface.role == "wing" for surface in self.surfaces)

    @cached_property
    def axes(self) -> dict[str, float]:
        """Share of the chord that each surface's torque is about."""
        return {key: half.members.spar_share for key, half in self.halves.items()}

    @cached_property
    def loader(self) -> Loader:
        """Loads of everything."""
        return Loader(self.design, self.airframe, self.balance, self.flight, self.materials)

    @cached_property
    def cases(self) -> tuple[LoadCase, ...]:
        """What it must stand."""
        return cases_of(
            self.design, self.airframe, self.balance, self.flight, tip_stiffness=self._tip
        )

    def _tip(self, key: str) -> float:
        """Stiffness of a wing's tip; 0 where it is not known. [N/m]"""
        if key not in self.halves:
            return 0.0
        plain = self._loaded(key, {})
        return tip_stiffness(
            spans=(*plain.spans, self.builds[key].tip),
            bending=(*plain.stiffness[0], plain.stiffness[0][-1]),
            fixed=plain.body_edge,
        )

    @cached_property
    def raw_loads(self) -> dict[str, dict[str, SpanLoad]]:
        """By key of case and of surface, before bracing."""
        return {
            case.key: {
                s.key: self.loader.span_load(case, s.key, axis=self.axes[s.key])
                for s in self.surfaces
                if s.role in case.on
            }
            for case in self.cases
        }

    def _braced(self, design: DesignFile) -> Bracing | None:
        """Struts and wires; None without, or where they cannot hold."""
        members = {key: half.members for key, half in self.halves.items()}
        try:
            return work_out_bracing(design, self.surfaces, self.materials, members, self.raw_loads)
        except ValueError as reason:  # too many to work out, or they cannot hold
            self.notes.append(f"The bracing is left out: {reason}.")
            return None

    @cached_property
    def bracing(self) -> Bracing | None:
        """Struts and wires as designed."""
        return self._braced(self.design)

    @cached_property
    def anew(self) -> Anew:
        """What holds it together and on, for a design with another size of something."""
        held = all(hold.surface in self.halves for hold in self.design.structure.hold_down)
        return Anew(
            joints=self._joints,
            bracing=self._braced,
            holds=lambda design: (
                work_out_hold_down(design, self.airframe, self.loads, self.axes) if held else ()
            ),
        )

    def joints(self) -> tuple[JointResult, ...]:
        """Every brace, dry and damp."""
        return with_damp(self._joints(self.design), self._joints(self.design, damp=True))

    def _joints(self, design: DesignFile, *, damp: bool = False) -> tuple[JointResult, ...]:
        """Every brace under the loads of service."""
        asked = {key: loads for key, loads in self.loads.items() if is_service(key)}
        return work_out_joints(design, self.surfaces, self.materials, asked, damp=damp)

    @cached_property
    def loads(self) -> dict[str, dict[str, SpanLoad]]:
        """By key of case and of surface, as the bracing leaves them."""
        braced = {case.case: case.loads for case in self.bracing.cases} if self.bracing else {}
        return {key: {**case, **braced.get(key, {})} for key, case in self.raw_loads.items()}

    def _loaded(self, key: str, loads: Mapping[str, Mapping[str, SpanLoad]]) -> LoadedSurface:
        pairs = [
            (case, loads[case.key][key])
            for case in (self.cases if loads else ())
            if key in loads.get(case.key, {})
        ]
        edge = body_edge(self.airframe, self.airframe.surface(key), axis=self.axes[key])
        return LoadedSurface(self.builds[key], self.halves[key], tuple(pairs), edge)

    @cached_property
    def loaded(self) -> dict[str, LoadedSurface]:
        """Every surface with its loads."""
        return {s.key: self._loaded(s.key, self.loads) for s in self.surfaces}

    def static_test(self) -> StaticTest | None:
        """Of the first wing; None where bags cannot copy its pull-up."""
        wing = next(s for s in self.surfaces if s.role == "wing")
        load = self.raw_loads.get(SHOWN, {}).get(wing.key)  # with struts and wires in place
        if load is None:
            return None
        loaded = self.loaded[wing.key]
        own = self.loader.own_weight(wing.key, axis=self.axes[wing.key])
        case = next(case for case in self.cases if case.key == SHOWN)
        try:
            return static_test_of(
                load,
                surface=wing.key,
                load_factor=case.load_factor,
                own=own,
                support=loaded.body_edge,
                deflection=loaded.bent(self.loads[SHOWN][wing.key]).tip_up,
                own_deflection=loaded.bent(own).tip_up,
            )
        except ValueError as reason:
            self.notes.append(f"There is no static test with sandbags: {reason}.")
            return None

    def booms(self) -> tuple[BoomResult, ...]:
        """Bodies and booms ahead of and behind the wing."""
        bodies = beams_of(self.loader)
        loads = [
            load
            for body in bodies
            for case in self.cases
            for end in ENDS
            if (load := body_load(self.loader, case, body, end=end)) is not None
        ]
        travels = {case.key: t for case in self.cases if (t := self._travel(case)) is not None}
        return work_out_booms(self.design, bodies, self.materials, loads, travels)

    def _travel(self, case: LoadCase) -> Travel | None:
        """The control that a case throws over, at its full travel."""
        if len(case.deflections) != 1:
            return None
        ((mode, travel),) = case.deflections.items()
        key, name, way = mode.split(".")
        control = next(c for c in self.airframe.surface(key).controls if c.key == name)
        what: Literal["elevator", "rudder"] = "rudder" if way == "yaw" else "elevator"
        return Travel(what, abs(travel), control.chord_share)

    def mounts(self) -> tuple[MountResult, ...]:
        """How motors are held."""
        powered = self.flight.powered
        thrust = powered.static.used if powered else thrust_of(self.design, self.airframe)
        count = sum(2 if p.mirrored else 1 for p in self.airframe.propellers)
        if thrust is None:
            ready = self.balance.ready
            mass = ready.state.mass if ready is not None else 0.0
            thrust = THRUST_TO_WEIGHT * mass * GRAVITY
        hardest = max((case.load_factor for case in self.cases if case.kind == "nose"), default=0.0)
        return work_out_mounts(
            self.design, self.materials, thrust=thrust / max(count, 1), load_factor=hardest
        )


ENDS: tuple[End, ...] = ("nose", "tail")


def _check_sticks(surface: LiftingSurface, half: Half) -> None:
    """Raise ValueError where more sticks run along a surface than can be worked out in time."""
    sticks = sum(part.count for part in half.members.structural_runs)
    if sticks > _MOST_STICKS:
        raise ValueError(
            f"{sticks} sticks run along each half of the {surface.title}, too many to work out "
            f"what each carries; allowed: {_MOST_STICKS}"
        )


def _known(half: Half) -> bool:
    """Whether anything of known strength runs along a surface."""
    return any(half.cut(span).pieces for span in half.stations())


def body_edge(airframe: Airframe, surface: LiftingSurface, *, axis: float) -> float:
    """Where a surface leaves the body that it sits on, along its span; 0 without one. [m]

    axis: share of the chord at which the body is measured.
    """
    root = surface.stations[0]
    if not surface.mirrored or root.y != 0.0:
        return 0.0
    x, edges = root.x + axis * root.chord, [0.0]
    for body in airframe.bodies:
        at = [frame.x for frame in body.frames]
        if body.mirrored or body.role not in _BODIES or not at[0] <= x <= at[-1]:
            continue
        width, height, z = (
            float(np.interp(x, at, [getattr(frame, name) for frame in body.frames]))
            for name in ("width", "height", "z")
        )
        if abs(root.z - z) <= height:  # on it, in it or under it, but not on posts above it
            edges.append(width / 2)
    return min(max(edges), _MOST_BODY * surface.stations[-1].span)


def work_out_structure(
    design: DesignFile,
    airframe: Airframe,
    balance: BalanceResult,
    flight: FlightResult,
    materials: Mapping[str, Material],
) -> StructureResult | None:
    """Work out whether a design holds; None when the strength of no wing is known.

    Raises:
        ValueError: more sticks run along a surface than can be worked out.
    """
    work = _Work(design, airframe, balance, flight, materials)
    if not work.has_wing:
        return None
    wanted = design.structure.reserve
    found = [surface_strength(loaded, wanted=wanted) for loaded in work.loaded.values()]
    surfaces = tuple(strength for strength in found if strength is not None)
    joints, holds = work.joints(), work.anew.holds(design)
    test, booms, mounts, bracing = work.static_test(), work.booms(), work.mounts(), work.bracing
    return StructureResult(
        wanted=wanted,
        least=min((s.worst.reserve for s in surfaces), default=CAP),
        surfaces=surfaces,
        bracing=_light(bracing) if bracing is not None else None,
        joints=tuple(joints),
        hold_downs=tuple(holds),
        mounts=mounts,
        booms=tuple(_short(boom) for boom in booms),
        static_test=test,
        suggestions=other_suggestions(
            design, joints=joints, bracing=bracing, holds=holds, anew=work.anew
        ),
        unknown=_unknown(work),
        notes=tuple(dict.fromkeys(work.notes)),
    )


def _light(bracing: Bracing) -> Bracing:
    """The bracing without the loads that it leaves, which the surfaces tell."""
    return replace(bracing, cases=tuple(replace(case, loads={}) for case in bracing.cases))


def _short(boom: BoomResult) -> BoomResult:
    """A body with the loads along it of its worst case only; the others keep their answers."""

    def shortened(case: BoomCase) -> BoomCase:
        load = replace(case.load, **dict.fromkeys(_ALONG, ()))  # type: ignore[arg-type]
        return case if case.case == boom.worst else replace(case, load=load, reserves=())

    return replace(boom, cases=tuple(shortened(case) for case in boom.cases))


def _unknown(work: _Work) -> tuple[str, ...]:
    """Parts that would carry load along a surface, if their strength were known."""
    names = [
        f"{surface.title}: {part.name}"
        for surface in work.airframe.surfaces
        for part in work.design.surfaces[surface.key].parts
        if (part.cover is not None or part.run is not None)
        and solid_of(work.materials[part.material]) is None
        and sheet_of(work.materials[part.material]) is None
    ]
    return tuple(dict.fromkeys(names))
