"""Which layout the surfaces make, and what the balance is referred to."""

from __future__ import annotations

from typing import Any

import pytest

from tests.designs import (
    EVERY_LAYOUT,
    Raw,
    airframe_of,
    bare,
    biplane,
    glider,
    surface,
    tandem,
    wing,
)

NAMES = {
    "tailless": "tailless",
    "canard": "canard",
    "tandem": "tandem",
    "biplane": "biplane",
}


@pytest.mark.parametrize("name", EVERY_LAYOUT)
def test_recognised(name: str) -> None:
    assert airframe_of(EVERY_LAYOUT[name]()).layout == NAMES.get(name, "conventional")


def test_wing_alone_is_tailless() -> None:
    assert airframe_of(bare({"wing": wing()})).layout == "tailless"


def test_fin_is_no_tail() -> None:
    raw = glider()
    del raw["surfaces"]["tailplane"]
    assert airframe_of(raw).layout == "tailless"


@pytest.mark.parametrize("role", ["tailplane", "canard"])
def test_tail_in_front_is_a_canard_whatever_it_is_called(role: str) -> None:
    """Else the quarter-to-third rule would be applied where it is dangerous."""
    raw = glider()
    raw["surfaces"]["tailplane"] |= {"role": role, "at": {"x": -400}}
    assert airframe_of(raw).layout == "canard"


def test_biplane_without_a_tail_is_tailless() -> None:
    raw = biplane()
    del raw["surfaces"]["tailplane"]
    assert airframe_of(raw).layout == "tailless"


@pytest.mark.parametrize(("gap", "layout"), [(199, "biplane"), (201, "tandem")])
def test_stagger_of_a_mean_chord_parts_biplane_from_tandem(gap: float, layout: str) -> None:
    raw = glider()
    raw["surfaces"]["other"] = surface("wing", [(0, 0, 200), (500, 0, 200)], at={"x": 150 + gap})
    assert airframe_of(raw).layout == layout


def test_three_surfaces_are_a_canard() -> None:
    raw = glider()
    raw["surfaces"]["foreplane"] = surface("canard", [(0, 0, 80), (150, 0, 80)], at={"x": -300})
    assert airframe_of(raw).layout == "canard"


def test_reference_of_one_wing_is_the_wing() -> None:
    airframe = airframe_of(glider())
    one, reference = airframe.surface("wing").planform, airframe.reference
    for name in ("area", "span", "mac", "mac_x", "mac_y", "mac_z", "aspect_ratio"):
        assert getattr(reference, name) == pytest.approx(getattr(one, name), rel=1e-15), name
    assert reference.root_x == pytest.approx(0.15)
    assert reference.wings == ("wing",)


def _mean(raw: Raw, keys: tuple[str, str], name: str) -> float:
    planforms = [airframe_of(raw).surface(key).planform for key in keys]
    total: float = sum(p.area * getattr(p, name) for p in planforms)
    return total / sum(p.area for p in planforms)


@pytest.mark.parametrize(
    ("build", "keys", "span"),
    [(biplane, ("wing", "upper"), 1.0), (tandem, ("front", "rear"), 0.9)],
)
def test_reference_of_two_wings(build: Any, keys: tuple[str, str], span: float) -> None:
    """By area, as Perkins & Hage treat the biplane's mean chord; the span is the greater."""
    raw = build()
    reference = airframe_of(raw).reference
    areas = [airframe_of(raw).surface(key).planform.area for key in keys]
    assert reference.area == pytest.approx(sum(areas))
    assert reference.span == pytest.approx(span)
    for name in ("mac", "mac_x", "mac_y", "mac_z"):
        assert getattr(reference, name) == pytest.approx(_mean(raw, keys, name)), name
    assert reference.aspect_ratio == pytest.approx(span**2 / sum(areas))
    assert reference.root_x == min(airframe_of(raw).surface(key).stations[0].x for key in keys)
    assert reference.wings == keys


def test_tandem_of_equal_wings_by_hand() -> None:
    """150 chord at 0 and at 500, equal areas: the mean leading edge lies at 250."""
    raw = tandem()
    raw["surfaces"]["rear"]["stations"][1]["y"] = 400
    reference = airframe_of(raw).reference
    assert reference.mac == pytest.approx(0.150)
    assert reference.mac_x == pytest.approx(0.250)
    assert reference.quarter_chord_x == pytest.approx(0.2875)
    assert reference.share_of_mac(0.2875) == pytest.approx(0.25)
    assert reference.x_of_share(0.25) == pytest.approx(0.2875)


def test_wings_are_no_tails() -> None:
    assert {tail.surface for tail in airframe_of(tandem()).tails} == {"fin"}


def test_twin_fins_count_both() -> None:
    raw = glider()
    one = airframe_of(raw).tails[-1]
    raw["surfaces"]["fin"]["at"] = {"x": 650, "y": 180}
    two = airframe_of(raw).tails[-1]
    assert (two.surface, two.direction) == ("fin", "vertical")
    assert two.volume == pytest.approx(2 * one.volume)
