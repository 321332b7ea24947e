"""Names in a design's structure that must be known: fasteners, glues, held surfaces, motors."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from plansgen.library.fasteners import fasteners
from plansgen.library.models import DesignFile
from plansgen.library.stock import Trouble, parts_of
from plansgen.library.tables import Material
from plansgen.library.text import Place
from plansgen.problems import nearest_name

_LONGEST = 40  # letters of a wrong name that are repeated to its author


def check_structure(trouble: Trouble, file: DesignFile, stock: Mapping[str, Material]) -> None:
    """Every name that the structure block and the braces' glue give is one that exists."""
    glues = [name for name, material in stock.items() if material.kind == "glue"]

    def known(path: Place, name: str, what: str, names: Iterable[str], allowed: str) -> None:
        names = list(names)
        if name not in names:
            nearest = nearest_name(name, names)
            trouble(path, f'no {what} "{name[:_LONGEST]}"', allowed=allowed, nearest=nearest)

    sized = [item.name for item in file.items if item.size is not None]
    glue_words = "a material of kind glue"
    for path, part in parts_of(file):
        if part.glue is not None:
            known((*path, "glue"), part.glue, "glue", glues, glue_words)
        for number, opening in enumerate(part.openings):
            if opening.item is not None:
                where = (*path, "openings", number, "item")
                known(where, opening.item, "item with a size", sized, "an item that has a size")
    for number, held in enumerate(file.structure.hold_down):
        place: Place = ("structure", "hold_down", number)
        known((*place, "surface"), held.surface, "surface", file.surfaces, "a key of surfaces")
        known((*place, "fastener"), held.fastener, "fastener", fasteners(), ", ".join(fasteners()))
    motors = [item.name for item in file.items if item.kind == "motor"]
    for number, mount in enumerate(file.structure.mounts):
        place = ("structure", "mounts", number)
        known((*place, "item"), mount.item, "motor", motors, "the name of an item of kind motor")
        known((*place, "glue"), mount.glue, "glue", glues, glue_words)
        known(
            (*place, "to"),
            mount.to,
            "material",
            stock,
            "one of the materials page, or the design's own materials",
        )
