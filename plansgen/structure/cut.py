"""A cut through a wing, tail or body: straight thin strips of known material, and how they join.

The plane of a cut through a surface: x aft along the chord from the leading edge, z up at right
angles to the panel; of a body: x is y to starboard, z up. [m]
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from plansgen.structure.elastic import Solid

Place = tuple[float, float]
StressKind = Literal["tension", "compression", "shear", "wrinkling", "buckling"]


@dataclass(frozen=True)
class Piece:
    """A straight strip of one material, by its middle line and thickness. [m]

    part: what the builder calls it. free_length: between supports along the span, for buckling as
    a column; infinite where it is bonded all along.
    """

    part: str
    solid: Solid
    start: Place
    end: Place
    thickness: float
    free_length: float = math.inf

    @property
    def width(self) -> float:
        """Length of its middle line. [m]"""
        return math.dist(self.start, self.end)

    @property
    def area(self) -> float:
        """Cross-section. [m²]"""
        return self.width * self.thickness


@dataclass(frozen=True)
class Plate:
    """What a bay of sheet needs to buckle.

    bay: its width between supports [m]. stiffness: of the sheet against bending, the geometric
    mean of both directions [N m]. core_shear: transverse shear stiffness [N/m], infinite for solid
    sheet. membrane: it ripples under next to nothing and then only pulls. key: one bay, one key.
    """

    key: str
    bay: float
    stiffness: float
    core_shear: float
    membrane: bool = False


@dataclass(frozen=True)
class Wall:
    """A straight line along which shear flows from one joint of the cut to another. [m]

    Walls that end at the same place are joined there. plies: which pieces of the cut lie on it,
    each from the wall's start to its end; none for a rigid link, such as the glue between a cap
    and the skin over it. core: what the faces of a sandwich are bonded to. face_limit: stress at
    which such a face wrinkles on its core or buckles between its flutes [Pa]. stick: a rectangle of
    its own, not a strip of a longer sheet. rounded: a strip of a rod's or tube's ring.
    """

    start: Place
    end: Place
    plies: tuple[int, ...]
    core: Solid | None = None
    face_limit: float | None = None
    plate: Plate | None = None
    stick: bool = False
    rounded: bool = False

    @property
    def length(self) -> float:
        """From joint to joint. [m]"""
        return math.dist(self.start, self.end)


@dataclass(frozen=True)
class Cut:
    """One cut. Every piece lies on one wall; without walls, pieces are joined as they meet.

    span: where along the surface, or x along the body. axis: the place that torque and shear are
    given about; left out: the load goes through the shear centre. ignored: parts that run through
    but of whose strength nothing is known. joiners: names of the parts that carry through a joint.
    """

    span: float
    pieces: tuple[Piece, ...]
    walls: tuple[Wall, ...] = ()
    axis: Place | None = None
    ignored: tuple[str, ...] = ()
    joiners: tuple[str, ...] = ()

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        """Kept: a cut has some hundred pieces and is looked up often."""
        return hash((self.span, self.pieces, self.walls, self.axis, self.ignored, self.joiners))


@dataclass(frozen=True)
class CutProperties:
    """Stiffness of a cut.

    axial: EA [N]. centre: of stiffness [m]. bending: about the chordwise axis, resists lift
    [N m²]. chord_bending: about the upright axis [N m²]. product: E I_xz [N m²]. torsion: GJ
    [N m²].
    """

    axial: float
    centre: Place
    bending: float
    chord_bending: float
    product: float
    torsion: float


@dataclass(frozen=True)
class Stress:
    """The worst of its kind in one material of one part. [Pa]

    spread: of the strength, one standard deviation, as a share. place: in the plane of the cut [m].
    """

    part: str
    material: str
    kind: StressKind
    stress: float
    strength: float
    spread: float
    place: Place

    @property
    def reserve(self) -> float:
        """Reserve factor: strength over stress, infinite where there is none."""
        return self.strength / self.stress if self.stress > 0 else math.inf
