"""Joints in a wing: does the brace bend, does the glue let go, how long must the overlap be.

At a joint whatever ends there carries nothing; the braces told to join it carry all the bending,
shared by their stiffness. The glue of a stood-up brace is an eccentrically loaded patch, like a
rivet group. A round joiner sits in its hole by bearing, like a dowel in a socket. See ``glue``.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Annotated, Literal

import numpy as np

from plansgen.airframe.build import LiftingSurface
from plansgen.library.models import DesignFile, Part
from plansgen.library.models.parts import StickSize
from plansgen.library.tables import Material
from plansgen.quantity import Quantity
from plansgen.structure.braced_half import CaseLoads
from plansgen.structure.elastic import solid_of
from plansgen.structure.glue import (
    Stands,
    bearing_stress,
    glue_stress,
    height_of,
    least,
    modulus_of_section,
    peel_stress,
    shear_strength,
    stands,
)
from plansgen.structure.reserve import CAP, reserve_factor
from plansgen.structure.span_loads import SpanLoad

_SAME_JOINT = 1e-3  # m
_NEAR = 0.06  # of the chord: a brace is glued to what runs this near to it
_SAME = 1e-6
_LONGEST = 1.0  # m; no overlap longer than this is advised


@dataclass(frozen=True)
class Overlap:
    """How one side of a brace is held. length: of the overlap. [m]"""

    side: Literal["inboard", "outboard"]
    length: Annotated[float, Quantity("m", "Overlap", "given-by-designer")]
    stress: Annotated[float, Quantity("Pa", "Greatest stress in the glued face", "structure-glue")]
    reserve: Annotated[float | None, Quantity("1", "Reserve factor of the glue", "structure-glue")]


@dataclass(frozen=True)
class JointResult:
    """One brace of a joint in the case that asks most of it.

    turn: how much the wing bends up at the joint, down negative; a gull's crank. bending, shear:
    of all braces of the joint together. first: what gives first beside the brace itself: glue or
    the material that it is glued to. strength: of that. glue_reserve: the lesser of both sides,
    None where neither glue nor wood is known. damp: the lesser of brace and glue with both damp,
    in the hardest case then; None where that was not asked or changes nothing. least_*: for the
    wanted reserve; None where none is enough.
    """

    surface: str
    title: str
    span: Annotated[float, Quantity("m", "Joint, along the surface", "given-by-designer")]
    turn: Annotated[float, Quantity("rad", "Bend of the wing there", "given-by-designer")]
    part: str
    material: str
    count: int
    stands: Stands
    case: str
    bending: Annotated[float, Quantity("N m", "Bending through the joint", "structure-load-span")]
    shear: Annotated[float, Quantity("N", "Shear through the joint", "structure-load-span")]
    share: Annotated[float, Quantity("1", "Share of it in this part", "structure-joint", "%")]
    brace_reserve: Annotated[float, Quantity("1", "Reserve factor of the brace", "structure-joint")]
    glue: str
    glued_to: str
    first: str
    strength: Annotated[float | None, Quantity("Pa", "Strength of what gives", "structure-glue")]
    overlaps: tuple[Overlap, ...]
    glue_reserve: Annotated[float | None, Quantity("1", "Reserve of the glue", "structure-glue")]
    damp: Annotated[float | None, Quantity("1", "Reserve factor when damp", "structure-damp")]
    least_overlap: Annotated[
        float | None, Quantity("m", "Least overlap, each side", "structure-joint-least")
    ]
    least_height: Annotated[
        float | None, Quantity("m", "Least height or diameter", "structure-joint-least")
    ]

    @property
    def reserve(self) -> float:
        """The lesser of brace and glue."""
        return min(self.brace_reserve, CAP if self.glue_reserve is None else self.glue_reserve)


@dataclass(frozen=True)
class _Bond:
    """What holds a brace. strength: of the weaker. [Pa]"""

    glue: str
    to: str
    first: str
    strength: float | None


# --- what it is glued to -----------------------------------------------------------------------


def _thickness(part: Part) -> float:
    return part.size.width or 0.0 if part.size is not None else 0.0


def _beside(parts: Sequence[Part], brace: Part) -> Part | None:
    """What a brace is glued to: the thinnest web beside it, else another stick, else a skin."""
    run = brace.run
    assert run is not None
    sticks = [
        part
        for part in parts
        if part.run is not None
        and part.joins is None
        and abs(part.run.at - run.at) <= _NEAR
        and part.run.from_ < run.to
        and part.run.to > run.from_
    ]
    webs = sorted((part for part in sticks if part.lies == "between"), key=_thickness)
    skins = [part for part in parts if part.cover is not None]
    return next(iter(webs or sticks or skins), None)


def _bond(
    brace: Part,
    parts: Sequence[Part],
    materials: Mapping[str, Material],
    kind: Stands,
    damp: bool,
) -> _Bond:
    beside = _beside(parts, brace)
    to = "" if beside is None else beside.material
    under = None if beside is None else shear_strength(materials[to], damp=damp)
    if kind == "round":
        solid = None if beside is None else solid_of(materials[to], damp=damp)
        strength = None if solid is None else solid.compression
        return _Bond(brace.glue or "", to, to, strength)
    glue = solid_of(materials[brace.glue], damp=damp) if brace.glue else None
    known = [(name, value) for name, value in [under] if value] if under else []
    if glue is not None:
        known.append((glue.name, glue.shear))
    if not known:
        return _Bond(brace.glue or "", to, "", None)
    first, strength = min(known, key=lambda pair: pair[1])
    return _Bond(brace.glue or "", to, first, strength)


# --- one joint ---------------------------------------------------------------------------------


def _at(load: SpanLoad, span: float) -> tuple[float, float]:
    """Bending and shear at a joint. [N m, N]"""
    bending = float(np.interp(span, load.spans, load.bending))
    return bending, float(np.interp(span, load.spans, load.shear))


def _side_stress(
    size: StickSize, kind: Stands, *, bending: float, shear: float, length: float, sign: int
) -> float:
    """Stress in one side's overlap of one brace. sign: +1 inboard, −1 outboard."""
    middle = bending + sign * shear * length / 2
    if kind == "round":
        return bearing_stress(
            moment=bending, shear=shear, length=length, diameter=float(size.diameter or 0.0)
        )
    if kind == "flat":
        return peel_stress(
            moment=middle, shear=shear, length=length, width=float(size.width or 0.0)
        )
    return glue_stress(moment=middle, shear=shear, length=length, height=float(size.height or 0.0))


def _lengths(part: Part, span: float, *, mirrored: bool) -> dict[str, float]:
    run = part.run
    assert run is not None
    outboard = run.to - span
    inboard = outboard if mirrored and span < _SAME_JOINT else span - run.from_
    return {"inboard": inboard, "outboard": outboard}


def _turn(surface: LiftingSurface, span: float) -> float:
    """How much a surface bends up at a span; at the centre of a mirrored one, of both halves."""
    stations = surface.stations
    tilts = [math.atan2(b.z - a.z, b.y - a.y) for a, b in pairwise(stations)]
    if span < _SAME_JOINT:
        return 2 * tilts[0] if surface.mirrored else 0.0
    for number, station in enumerate(stations[1:-1], 1):
        if abs(station.span - span) < 5 * _SAME_JOINT:
            return tilts[number] - tilts[number - 1]
    return 0.0


class _Joint:
    """All braces through one joint of one surface."""

    def __init__(
        self,
        surface: LiftingSurface,
        parts: Sequence[Part],
        span: float,
        materials: Mapping[str, Material],
        damp: bool,
    ) -> None:
        self.surface, self.parts, self.span = surface, parts, span
        self.materials, self.damp = materials, damp
        self.braces = [
            part
            for part in parts
            if part.joins is not None
            and abs(part.joins - span) < _SAME_JOINT
            and part.size is not None
            and solid_of(materials[part.material]) is not None
        ]
        stiff = [self._stiffness(part) for part in self.braces]
        self.shares = [value / sum(stiff) for value in stiff]

    def _stiffness(self, part: Part) -> float:
        solid = solid_of(self.materials[part.material], damp=self.damp)
        assert solid is not None and part.size is not None  # noqa: PT018 - told apart above
        height = height_of(part.size)
        return part.count * solid.modulus * modulus_of_section(part.size) * height / 2

    def results(self, loads: Mapping[str, CaseLoads], wanted: float) -> list[JointResult]:
        """One result for each brace, in the worst of the cases."""
        key = self.surface.key
        found = {case: _at(by[key], self.span) for case, by in loads.items() if key in by}
        done = []
        for part, share in zip(self.braces, self.shares, strict=True):
            each = [
                self._result(part, share, case, bending, shear, wanted)
                for case, (bending, shear) in found.items()
            ]
            if each:
                done.append(min(each, key=lambda result: result.reserve))
        return done

    def _result(
        self, part: Part, share: float, case: str, bending: float, shear: float, wanted: float
    ) -> JointResult:
        size, kind = part.size, stands(part.size) if part.size else "round"
        solid = solid_of(self.materials[part.material], damp=self.damp)
        assert size is not None
        assert solid is not None
        each = {"bending": share * bending / part.count, "shear": share * shear / part.count}
        strength = min(solid.tension, solid.compression)
        reserve = reserve_factor(strength=strength, load=each["bending"] / modulus_of_section(size))
        power = 1 / 3 if kind == "round" else 1 / 2
        bond = _bond(part, self.parts, self.materials, kind, self.damp)
        overlaps = self._overlaps(part, size, kind, bond, each)
        known = [overlap.reserve for overlap in overlaps if overlap.reserve is not None]
        return JointResult(
            surface=self.surface.key,
            title=self.surface.title,
            span=self.span,
            turn=_turn(self.surface, self.span),
            part=part.name,
            material=part.material,
            count=part.count,
            stands=kind,
            case=case,
            bending=bending,
            shear=shear,
            share=share,
            brace_reserve=reserve,
            glue=bond.glue,
            glued_to=bond.to,
            first=bond.first,
            strength=bond.strength,
            overlaps=overlaps,
            glue_reserve=min(known, default=None),
            damp=None,
            least_overlap=self._least_overlap(size, kind, bond, each, wanted),
            least_height=None
            if each["bending"] == 0.0
            else height_of(size)
            * (wanted * abs(each["bending"]) / modulus_of_section(size) / strength) ** power,
        )

    def _overlaps(
        self, part: Part, size: StickSize, kind: Stands, bond: _Bond, each: Mapping[str, float]
    ) -> tuple[Overlap, ...]:
        lengths = _lengths(part, self.span, mirrored=self.surface.mirrored)
        found = []
        for side, sign in (("inboard", 1), ("outboard", -1)):
            length = lengths[side]
            if length <= 0.0:
                found.append(Overlap(side, 0.0, 0.0, 0.0))  # type: ignore[arg-type]
                continue
            stress = _side_stress(size, kind, length=length, sign=sign, **each)
            reserve = (
                None
                if bond.strength is None
                else reserve_factor(strength=bond.strength, load=stress)
            )
            found.append(Overlap(side, length, stress, reserve))  # type: ignore[arg-type]
        return tuple(found)

    @staticmethod
    def _least_overlap(
        size: StickSize, kind: Stands, bond: _Bond, each: Mapping[str, float], wanted: float
    ) -> float | None:
        if bond.strength is None:
            return None

        def works(length: float) -> bool:
            worst = max(
                _side_stress(size, kind, length=length, sign=sign, **each) for sign in (1, -1)
            )
            return worst * wanted <= (bond.strength or 0.0)

        return least(works, low=1e-3, high=_LONGEST)


def work_out_joints(
    design: DesignFile,
    surfaces: Sequence[LiftingSurface],
    materials: Mapping[str, Material],
    loads: Mapping[str, CaseLoads],
    *,
    damp: bool = False,
) -> tuple[JointResult, ...]:
    """Every brace that joins something on a surface, in its worst case.

    loads: by key of case and of surface, as left by the bracing. damp: strengths when damp. The
    wanted reserve is the design's. Braces of unknown strength or size are left out.
    """
    found: list[JointResult] = []
    for surface in surfaces:
        parts = design.surfaces[surface.key].parts
        spans = sorted({round(part.joins, 3) for part in parts if part.joins is not None})
        for span in spans:
            joint = _Joint(surface, parts, span, materials, damp)
            found += joint.results(loads, design.structure.reserve)
    return tuple(found)


def with_damp(dry: Sequence[JointResult], wet: Sequence[JointResult]) -> tuple[JointResult, ...]:
    """The same joints with what they hold when damp. wet: worked out damp, in the same order."""
    return tuple(
        replace(one, damp=other.reserve if abs(other.reserve - one.reserve) > _SAME else None)
        for one, other in zip(dry, wet, strict=True)
    )


def stood_up(part: Part) -> Part | None:
    """A flat brace turned on its edge; None where it is not flat."""
    size = part.size
    if size is None or stands(size) != "flat":
        return None
    turned = size.model_copy(update={"width": size.height, "height": size.width})
    return part.model_copy(update={"size": turned})
