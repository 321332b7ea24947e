"""An airframe with another tail is the one that a changed design file gives."""

from __future__ import annotations

import pytest

from plansgen.airframe.build import Airframe
from plansgen.airframe.changed import with_surface_changed
from tests.designs import Raw, airframe_of, glider, surface


def drawn(*, aft: float = 0.0, size: float = 1.0) -> Airframe:
    """A tail of 120 mm chord whose quarter chord lies at 680 + aft. [mm]"""
    raw: Raw = glider()
    chord, half = 120 * size, 200 * size
    raw["surfaces"]["tailplane"] = surface(
        "tailplane",
        [(0, 0, chord), (half, 0, chord)],
        at={"x": 680 + aft - chord / 4, "z": 20},
        controls={"elevator": {"kind": "elevator", "from": 0, "to": half, "chord": 0.3}},
    )
    return airframe_of(raw)


@pytest.mark.parametrize(("aft", "size"), [(0.0, 1.0), (150.0, 1.0), (-40.0, 1.0), (60.0, 1.3)])
def test_like_one_drawn_so(aft: float, size: float) -> None:
    changed = with_surface_changed(drawn(), "tailplane", aft=aft / 1000, size=size)
    wanted = drawn(aft=aft, size=size)
    ours, theirs = changed.surface("tailplane"), wanted.surface("tailplane")
    for name in ("area", "span", "mac", "mac_x", "mac_y", "mac_z"):
        assert getattr(ours.planform, name) == pytest.approx(getattr(theirs.planform, name))
    (control,), (other,) = ours.controls, theirs.controls
    assert control.area == pytest.approx(other.area)
    assert control.outboard == pytest.approx(other.outboard)
    assert [p for point in control.hinge for p in point] == pytest.approx(
        [p for point in other.hinge for p in point]
    )
    assert [t.volume for t in changed.tails] == pytest.approx([t.volume for t in wanted.tails])


def test_nothing_else_moves() -> None:
    base = drawn()
    changed = with_surface_changed(base, "tailplane", aft=0.1)
    assert changed.surface("wing") is base.surface("wing")
    assert changed.bodies == base.bodies


def test_refuses() -> None:
    with pytest.raises(ValueError, match="size"):
        with_surface_changed(drawn(), "tailplane", size=0.0)
    with pytest.raises(KeyError):
        with_surface_changed(drawn(), "rudder")
