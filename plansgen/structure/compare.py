"""What a builder wants to see side by side: a stick on edge against flat, a box against sheets.

The numbers of one stick and one cut come from :mod:`plansgen.structure.comparison`; here they are
set in the wing, which is worked out anew with the stick turned.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Literal

from plansgen.library.models.parts import Part, StickSize
from plansgen.structure.comparison import box_against_sheets, stick_on_edge_against_flat
from plansgen.structure.elastic import solid_of
from plansgen.structure.margins import Build, Half
from plansgen.structure.skins import profile_at
from plansgen.structure.strength import BoxComparison, StickComparison

_SKINS = {"both skins": 2, "top skin": 1, "bottom skin": 1}
_SPARE = 1e-9  # m
_GAINS = 1.01  # glued over loose: below it nothing was glued together


def sticks_of(build: Build, half: Half) -> Iterator[tuple[int, Part]]:
    """The rectangular sticks of the spar, with their place in the list of parts."""
    for number, part in enumerate(build.parts):
        if part in half.members.spar_parts and _is_flat(part.size):
            yield number, part


def _is_flat(size: StickSize | None) -> bool:
    return size is not None and size.width is not None and size.height is not None


def turned(part: Part) -> Part:
    """The same stick turned by a quarter."""
    sizes = {
        name: size.model_copy(update={"width": size.height, "height": size.width})
        for name in ("size", "size_out")
        if (size := getattr(part, name)) is not None
    }
    return part.model_copy(update=sizes)


def compare_sticks(
    build: Build, half: Half, *, now: float, least: Callable[[int, Part], float]
) -> tuple[StickComparison, ...]:
    """Every stick of the spar on edge against flat.

    now: least reserve factor of the surface as built. least: that with another part in one place.
    """
    found = []
    for number, part in sticks_of(build, half):
        solid = solid_of(build.materials[part.material], across=part.grain == "across")
        size = part.size
        assert size is not None
        assert size.width is not None
        assert size.height is not None
        if solid is None:
            continue
        alone = stick_on_edge_against_flat(
            width=size.width, height=size.height, modulus=solid.modulus
        )
        other, place = turned(part), _place(size.width, size.height)
        fits = place != "square" and fits_in(build, other)
        found.append(
            StickComparison(
                part=part.name,
                place=place,
                edge=alone.on_edge,
                flat=alone.flat,
                ratio=alone.ratio,
                reserve_now=now,
                reserve_turned=least(number, other) if fits else None,
            )
        )
    return tuple(found)


def _place(width: float, height: float) -> Literal["on edge", "flat", "square"]:
    if abs(width - height) < 1e-6:
        return "square"
    return "on edge" if height > width else "flat"


# --- room inside of the section --------------------------------------------------------------


def fits_in(build: Build, part: Part) -> bool:
    """Whether a stick fits into the height of the section all along its run."""
    run, size = part.run, part.size
    if run is None or size is None or size.height is None:
        return False
    deep = 2 if part.lies == "top and bottom" else 1
    out = part.size_out.height if part.size_out and part.size_out.height else size.height
    ends = ((run.from_, size.height), (run.to, out))
    return all(deep * height <= room(build, span, run.at) + _SPARE for span, height in ends)


def room(build: Build, span: float, share: float) -> float:
    """Clear height inside of the skins at a share of the chord. [m]"""
    skins = sum(
        _SKINS.get(part.cover or "", 0) * (build.materials[part.material].thickness or 0.0)
        for part in build.parts
        if _covers(build, part, span, share)
    )
    low, high = profile_at(build.surface.stations, span).heights(share)
    return high - low - skins


def _covers(build: Build, part: Part, span: float, share: float) -> bool:
    start, end = part.from_ or 0.0, part.to or build.tip
    over = part.over is None or part.over.from_ <= share <= part.over.to
    return part.cover in _SKINS and start <= span <= end and over


# --- box against loose sheets ----------------------------------------------------------------


def compare_box(half: Half, span: float = 0.0) -> BoxComparison | None:
    """The section as glued, against its sheets and sticks lying loose; None where nothing is cut.

    None too where the section is one sheet or stick only.
    """
    cut = half.cut(span)
    if sum(1 for wall in cut.walls if wall.plies and not wall.rounded) < 2:
        return None
    both = box_against_sheets(cut)
    if both.torsion < _GAINS * both.loose_torsion and both.bending < _GAINS * both.loose_bending:
        return None  # one sheet, in strips
    return BoxComparison(
        bending_closed=both.bending,
        bending_loose=both.loose_bending,
        torsion_closed=both.torsion,
        torsion_loose=both.loose_torsion,
    )
