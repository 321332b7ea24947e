"""The materials a design may use: the packaged table, the design's own on top, and their slips."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Protocol

from plansgen.library.bending import outer_modulus
from plansgen.library.mechanics import BendTest, Mechanics
from plansgen.library.models import DesignFile, Part
from plansgen.library.tables import Material, materials
from plansgen.library.text import Place
from plansgen.problems import nearest_name

MOST_APART = 5.0  # a measured modulus further from the expected one is a slip of the pen


class Trouble(Protocol):
    """Takes down one problem at a place of the design file."""

    def __call__(self, path: Place, wrong: str, *, allowed: str = "", nearest: str = "") -> None:
        """Take it down."""


def stock_with(own: Mapping[str, Material]) -> dict[str, Material]:
    """The packaged table with a design's own materials on top.

    An own material that is *like* a packaged one has its stiffness and strength; one that is like
    nothing known is left without.
    """
    packaged = materials()
    return {**packaged, **{name: _taken_over(material) for name, material in own.items()}}


def _taken_over(material: Material) -> Material:
    model = materials().get(material.like or "")
    return material.model_copy(update={"mechanics": model.mechanics}) if model else material


def measured_modulus(material: Material, mechanics: Mechanics, *, across: bool) -> float | None:
    """Modulus of the faces, or of a plain sheet, from the material's bend tests. [Pa]

    Several tests in one direction are averaged. None when there is none.

    Raises:
        ValueError: the strip came out softer than its bare core, or stiffer than anything known.
    """
    direction = "across" if across else "along"
    tests = [test for test in material.bend_tests if test.direction == direction]
    if not tests:
        return None
    stiffness = sum(test.stiffness for test in tests) / len(tests)
    return _modulus(material, mechanics, stiffness, across=across)


def _modulus(material: Material, mechanics: Mechanics, stiffness: float, *, across: bool) -> float:
    thickness, faces, core = material.thickness or 0.0, mechanics.faces, mechanics.core
    if faces is None or core is None:
        return outer_modulus(stiffness, face=thickness, sides=1, core=0.0, core_thickness=0.0)
    return outer_modulus(
        stiffness,
        face=faces.thickness,
        sides=faces.sides,
        core=(core.modulus_across or core.modulus) if across else core.modulus,
        core_thickness=thickness - faces.sides * faces.thickness,
    )


# --- what can be wrong -----------------------------------------------------------------------


def check_materials(trouble: Trouble, file: DesignFile, stock: Mapping[str, Material]) -> None:
    """Parts name materials that can be weighed; own materials have believable strength."""
    for name in file.materials:
        _check_own(trouble, ("materials", name), stock[name])
    for path, part in parts_of(file):
        place = (*path, "material")
        material = stock.get(part.material)
        if material is None:
            trouble(
                place,
                f'no material "{part.material[:40]}"',
                allowed="one of the materials page, or the design's own materials",
                nearest=nearest_name(part.material, stock),
            )
        elif wrong := _unweighable(part, material):
            trouble(place, wrong)


def _check_own(trouble: Trouble, path: Place, material: Material) -> None:
    like, packaged, mechanics = material.like, materials(), material.mechanics
    other = packaged.get(like) if like is not None else None
    if other is not None and (other.kind == "glue") != (material.kind == "glue"):
        trouble(
            (*path, "like"),
            f'"{like}" is of kind {other.kind}, this material of kind {material.kind}',
            allowed="a glue like a glue, all others like one that is no glue",
        )
    elif like is not None and (like not in packaged or packaged[like].mechanics is None):
        known = [name for name, other in packaged.items() if other.mechanics is not None]
        wrong = "has no strength given" if like in packaged else "is no packaged material"
        trouble(
            (*path, "like"),
            f'"{like[:40]}" {wrong}',
            allowed="one of the materials page with its strength",
            nearest=nearest_name(like, known),
        )
    if mechanics is None:
        return
    if mechanics.faces is not None:
        faces = mechanics.faces.thickness * mechanics.faces.sides
        if material.thickness is None:
            trouble((*path, "thickness"), "is needed: the sheet is like one with faces")
            return
        if faces >= material.thickness:
            trouble((*path, "thickness"), "leaves no room for the core under the faces")
            return
    for number, test in enumerate(material.bend_tests):
        if wrong := _unlikely(material, mechanics, test):
            trouble((*path, "bend_tests", number), wrong, allowed="readings that agree roughly")


def _unlikely(material: Material, mechanics: Mechanics, test: BendTest) -> str:
    """Why readings cannot be believed; empty if they can."""
    outer, across = mechanics.outer(), test.direction == "across"
    expected = (outer.modulus_across or outer.modulus) if across else outer.modulus
    try:
        found = _modulus(material, mechanics, test.stiffness, across=across)
    except ValueError as wrong:
        return f"{wrong}; check span, width, load and sag, and their units"
    if 1 / MOST_APART <= found / expected <= MOST_APART:
        return ""
    return (
        f"gives a modulus of {found / 1e9:.3g} GPa where about {expected / 1e9:.3g} GPa was "
        "expected; check span, width, load and sag, and their units"
    )


def parts_of(file: DesignFile) -> Iterator[tuple[Place, Part]]:
    """Every part of a design, with the path to it."""
    for key, surface in file.surfaces.items():
        for number, part in enumerate(surface.parts):
            yield ("surfaces", key, "parts", number), part
    for key, body in file.bodies.items():
        for number, part in enumerate(body.parts):
            yield ("bodies", key, "parts", number), part
    for number, part in enumerate(file.parts):
        yield ("parts", number), part


def _unweighable(part: Part, material: Material) -> str:
    """Why a part of this material cannot be weighed by area or by length; empty if it can."""
    owned = (part.cover, part.ribs, part.formers, part.own_area, part.drawing)
    sheet = any(amount is not None for amount in owned)
    if sheet:
        if material.areal_density is None and (
            material.density is None or material.thickness is None
        ):
            return f'"{part.material}" is no sheet: it has no mass per area'
    elif material.linear_density is None and (
        part.size is None
        or (material.density is None and not (material.areal_density and material.thickness))
    ):
        return f'"{part.material}" has no mass per length; give the part a size'
    return ""
