"""A turned shaft: trigonometry by hand; which edge is packed is common practice, no source."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any, cast

import pytest
from shapely import box

from plansgen.patterns.firewall import shafts_through, thrust_angles


def things(down: float, side: float, motor_x: float, hub_x: float) -> Any:
    motor = SimpleNamespace(
        name="motor",
        kind="motor",
        at=SimpleNamespace(x=motor_x, y=0.0, z=0.0),
        size=SimpleNamespace(x=0.03, y=0.028, z=0.028),
    )
    hub = SimpleNamespace(
        name="propeller", kind="propeller", at=SimpleNamespace(x=hub_x, y=0.0, z=0.0), size=None
    )
    drive = SimpleNamespace(motor="motor", propeller="propeller", down=down, side=side)
    power = SimpleNamespace(drives=(drive,))
    return SimpleNamespace(items=(motor, hub), power=power)


def plate(face: str) -> Any:
    body = SimpleNamespace(frames=(SimpleNamespace(y=0.0),), mirrored=False)
    return SimpleNamespace(
        face=face, start=0.0, end=0.0, polygon=box(-0.03, -0.04, 0.03, 0.04), body=body
    )


def test_the_shaft_line_still_meets_the_propeller() -> None:
    down, side = math.radians(2.0), math.radians(3.0)
    (shaft,) = shafts_through(plate("front"), things(down, side, -0.018, -0.042))
    assert shaft.place[1] == pytest.approx(0.042 * math.tan(down))
    assert shaft.place[0] == pytest.approx(-0.042 * math.tan(side))
    assert "1.0 mm at the top and 1.5 mm at the port edge" in shaft.words


def test_a_pusher_is_packed_at_the_top_to_point_its_tail_down() -> None:
    up = math.radians(-2.0)
    (shaft,) = shafts_through(plate("rear"), things(up, 0.0, 0.015, 0.037))
    assert "at the top" in shaft.words
    assert shaft.place[1] == pytest.approx(0.037 * math.tan(math.radians(2.0)))


def test_without_a_drive_the_shaft_stands_square() -> None:
    file = things(0.1, 0.1, -0.018, -0.042)
    file.power = None
    assert thrust_angles(file, cast("Any", file.items[0])) == (0.0, 0.0)
    (shaft,) = shafts_through(plate("front"), file)
    assert shaft.square
    assert "square" in shaft.words
