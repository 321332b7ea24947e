"""What is found about the strength of one surface: the dataclasses that pages and figures read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from plansgen.quantity import Quantity
from plansgen.structure.cases import LoadCase

FailureKind = Literal["tension", "compression", "shear", "wrinkling", "buckling"]
SuggestionKind = Literal[
    "reach", "stick size", "turn on edge", "count", "brace", "wire", "hold-down"
]


@dataclass(frozen=True)
class Weakest:
    """The weakest place: where, what, how, and what its reserve is worth.

    low: least of the whole half with every strength lower by two standard deviations. damp: the
    same with mean strengths, but paper, board and wood damp; None where that changes nothing.
    """

    case: str
    span: Annotated[float, Quantity("m", "Distance along the surface", "structure-margin")]
    share: Annotated[float, Quantity("1", "Share of the half span", "structure-margin", "%")]
    part: str
    material: str
    kind: FailureKind
    stress: Annotated[float, Quantity("Pa", "Stress there", "structure-stress")]
    strength: Annotated[float, Quantity("Pa", "Mean strength there", "structure-strength")]
    reserve: Annotated[float, Quantity("1", "Reserve factor", "structure-margin")]
    low: Annotated[float, Quantity("1", "Reserve factor of weak material", "structure-scatter")]
    damp: Annotated[float | None, Quantity("1", "Reserve factor when damp", "structure-damp")]


@dataclass(frozen=True)
class CaseStrength:
    """One case along one half of a surface, root first. Arrays are at ``spans``."""

    case: LoadCase
    spans: Annotated[
        tuple[float, ...], Quantity("m", "Distance along the surface", "structure-load-span")
    ]
    shear: Annotated[tuple[float, ...], Quantity("N", "Shear", "structure-load-span")]
    bending: Annotated[tuple[float, ...], Quantity("N m", "Bending moment", "structure-load-span")]
    torque: Annotated[tuple[float, ...], Quantity("N m", "Torque", "structure-load-span")]
    reserves: Annotated[tuple[float, ...], Quantity("1", "Reserve factor", "structure-margin")]
    weakest: Weakest
    tip_deflection: Annotated[float, Quantity("m", "Tip moves up", "structure-deflection")]
    tip_twist: Annotated[float, Quantity("rad", "Tip twists nose up", "structure-deflection")]


@dataclass(frozen=True)
class ReachPoint:
    """The least reserve factor of the whole half when the spar ends here."""

    reach: Annotated[float, Quantity("m", "Spar reach", "structure-reach")]
    share: Annotated[float, Quantity("1", "Spar reach over half span", "structure-reach", "%")]
    reserve: Annotated[float, Quantity("1", "Least reserve factor", "structure-reach")]


@dataclass(frozen=True)
class Reach:
    """How far out the spar must go, in all cases.

    case: the one that asks most of the skin at the spar's end; bending_there is of it. least: None
    when no reach gives the wanted reserve (the trouble lies elsewhere); 0 when the skin alone does.
    stiffness_in, stiffness_out: just inside and outside of its end. skin_reserve: of the skin alone
    there; blunt_reserve: the same at a square-cut end, where the stress rises.
    """

    case: str
    now: Annotated[float, Quantity("m", "Spar reach", "structure-reach")]
    now_share: Annotated[float, Quantity("1", "Spar reach over half span", "structure-reach", "%")]
    points: tuple[ReachPoint, ...]
    wanted: Annotated[float, Quantity("1", "Reserve factor wanted", "structure-margin")]
    least: Annotated[float | None, Quantity("m", "Least spar reach", "structure-reach")]
    least_share: Annotated[
        float | None, Quantity("1", "Least spar reach over half span", "structure-reach", "%")
    ]
    stiffness_in: Annotated[
        float, Quantity("N m²", "Bending stiffness inside of the spar's end", "structure-section")
    ]
    stiffness_out: Annotated[
        float, Quantity("N m²", "Bending stiffness outside of it", "structure-section")
    ]
    bending_there: Annotated[
        float, Quantity("N m", "Bending left to the skin there", "structure-load-span")
    ]
    skin_reserve: Annotated[
        float, Quantity("1", "Reserve factor of the skin there", "structure-margin")
    ]
    blunt_reserve: Annotated[
        float, Quantity("1", "Reserve factor of the skin at a square-cut end", "structure-blunt")
    ]


@dataclass(frozen=True)
class StickComparison:
    """One stick of the surface, on edge against flat.

    place: as built. own_*: of the stick alone. reserve_turned: the surface's least reserve with
    this stick turned, None where it is square or round or would not fit.
    """

    part: str
    place: Literal["on edge", "flat", "square"]
    edge: Annotated[float, Quantity("N m²", "Stiffness of the stick on edge", "structure-stick")]
    flat: Annotated[float, Quantity("N m²", "Stiffness of the stick flat", "structure-stick")]
    ratio: Annotated[float, Quantity("1", "On edge over flat", "structure-stick")]
    reserve_now: Annotated[
        float, Quantity("1", "Least reserve factor as built", "structure-margin")
    ]
    reserve_turned: Annotated[
        float | None, Quantity("1", "Least reserve factor with it turned", "structure-margin")
    ]


@dataclass(frozen=True)
class BoxComparison:
    """The closed section against its sheets lying loose, at the root."""

    bending_closed: Annotated[
        float, Quantity("N m²", "Bending stiffness, glued to a box", "structure-section")
    ]
    bending_loose: Annotated[
        float, Quantity("N m²", "Bending stiffness, sheets loose", "structure-section")
    ]
    torsion_closed: Annotated[
        float, Quantity("N m²", "Torsional stiffness, glued to a box", "structure-torsion")
    ]
    torsion_loose: Annotated[
        float, Quantity("N m²", "Torsional stiffness, sheets loose", "structure-torsion")
    ]


@dataclass(frozen=True)
class CutPiece:
    """One strip of a cut, for the drawing: where it is and what it carries.

    start, end: middle line in the plane of the cut: aft of the leading edge, up. [m]
    stress: pull positive.
    """

    part: str
    material: str
    start: tuple[float, float]
    end: tuple[float, float]
    thickness: Annotated[float, Quantity("m", "Thickness", "given-by-designer")]
    stress: Annotated[float, Quantity("Pa", "Greatest stress along the span", "structure-stress")]


@dataclass(frozen=True)
class PartShare:
    """What share of the bending moment one part carries in a cut."""

    part: str
    share: Annotated[float, Quantity("1", "Share of the bending", "structure-section", "%")]


@dataclass(frozen=True)
class CutView:
    """One cross-section as built under the limit pull-up."""

    title: str
    span: Annotated[float, Quantity("m", "Distance along the surface", "given-by-designer")]
    chord: Annotated[float, Quantity("m", "Chord", "given-by-designer")]
    pieces: tuple[CutPiece, ...]
    shares: tuple[PartShare, ...]
    neutral: Annotated[
        float, Quantity("m", "Neutral axis above the chord line", "structure-section")
    ]
    slope: Annotated[float, Quantity("rad", "Slope of the neutral axis", "structure-section")]
    centre_x: Annotated[
        float, Quantity("m", "Centre of stiffness aft of the leading edge", "structure-section")
    ]
    bending: Annotated[float, Quantity("N m²", "Bending stiffness, EI", "structure-section")]
    torsion: Annotated[float, Quantity("N m²", "Torsional stiffness, GJ", "structure-torsion")]
    moment: Annotated[float, Quantity("N m", "Bending moment there", "structure-load-span")]


@dataclass(frozen=True)
class Suggestion:
    """One change, solved: what to do, and the reserve factor it gives.

    words: plain, with its numbers, such as "Let the spar reach 480 mm".
    """

    kind: SuggestionKind
    words: str
    reserve: Annotated[float, Quantity("1", "Reserve factor then", "structure-margin")]


@dataclass(frozen=True)
class SurfaceStrength:
    """One surface. ignored: parts whose strength is not known. assumed: what was filled in."""

    surface: str
    title: str
    axis: Annotated[float, Quantity("1", "Spar line on the chord", "structure-section", "%")]
    cases: tuple[CaseStrength, ...]
    worst: Weakest
    reach: Reach | None
    sticks: tuple[StickComparison, ...]
    box: BoxComparison | None
    cuts: tuple[CutView, ...]
    suggestions: tuple[Suggestion, ...]
    ignored: tuple[str, ...]
    assumed: tuple[str, ...]
