"""The mark on every published number: unit, name, method."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, get_type_hints

import pytest

from plansgen.airframe.bodies import BodyShape
from plansgen.airframe.build import Airframe, ControlSurface
from plansgen.airframe.layout import Reference, TailVolume
from plansgen.airframe.planform import Planform
from plansgen.balance.advice import Ballast, Lateral, Remedy, Sensitivity
from plansgen.balance.buildup import MassLine
from plansgen.balance.centre import MassState
from plansgen.balance.result import Loading
from plansgen.balance.target import Target
from plansgen.dossier import BuildTime
from plansgen.library.tables import methods
from plansgen.quantity import Quantity, quantities
from tests.designs import balance_of, trainer

PUBLISHED = (
    Airframe,
    Ballast,
    BodyShape,
    BuildTime,
    ControlSurface,
    Lateral,
    Loading,
    MassLine,
    MassState,
    Planform,
    Reference,
    Remedy,
    Sensitivity,
    TailVolume,
    Target,
)
SI = {"m", "m²", "m³", "kg", "kg/m²", "kg/m³", "kg m²", "rad", "s", "1"}


@dataclass(frozen=True)
class Sample:
    name: str
    first: Annotated[float, Quantity("m", "First", "a")]
    plain: float
    maybe: Annotated[float | None, Quantity("kg", "Maybe", "b")]
    inside: Annotated[float, Quantity("s", "Inside", "c")] | None
    many: tuple[Annotated[float, Quantity("1", "Many", "d", "%")], ...]


def test_marks_in_order_and_only_on_marked_fields() -> None:
    found = quantities(Sample)
    assert list(found) == ["first", "maybe", "inside", "many"]
    assert [mark.method for mark in found.values()] == list("abcd")
    assert (found["first"].shown, found["many"].shown) == ("", "%")


@pytest.mark.parametrize("kind", PUBLISHED)
def test_every_single_number_is_marked(kind: type) -> None:
    hints = get_type_hints(kind)
    numbers = {name for name, hint in hints.items() if hint in (float, float | None)}
    assert numbers <= set(quantities(kind))
    assert numbers


@pytest.mark.parametrize("kind", PUBLISHED)
def test_marks_name_an_si_unit_and_a_known_method(kind: type) -> None:
    for name, mark in quantities(kind).items():
        assert mark.unit in SI, name
        assert mark.method in methods(), name
        assert mark.label[0].isupper(), name
        assert mark.shown in ("", "%"), name


def test_methods_of_mass_lines_are_known() -> None:
    used = {line.method for line in balance_of(trainer()).lines}
    assert used <= set(methods())
    assert "glue-allowance" in used
