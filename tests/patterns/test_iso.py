"""The whole model in isometric: where its parts stand, what hides what, how it comes apart."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely import Polygon

from plansgen.patterns.iso import isometric, number_places
from plansgen.patterns.painter import painting_order
from plansgen.patterns.standing import SolidFace
from plansgen.patterns.surface_parts import SurfaceParts, surface_parts
from tests.designs import Raw, airframe_of, file_of, glider, skin, stock

AHEAD = np.array([-1.0, 1.0, 1.0]) / math.sqrt(3.0)  # to the eye of an isometric view


def parts_of(raw: Raw) -> SurfaceParts:
    file = file_of(raw)
    return surface_parts(file, airframe_of(raw), stock(file))


def wing() -> Raw:
    """A constant chord of 200 on 400 a side, 12 % thick, with ribs and a web of 5 by 20."""
    raw = glider()
    raw["surfaces"]["wing"] = {
        "role": "wing",
        "section": {"kind": "naca", "digits": "0012"},
        "stations": [{"span": 0, "chord": 200}, {"span": 400, "chord": 200}],
        "parts": [
            skin(cover="both skins"),
            {"name": "rib", "material": "board", "ribs": {"at": [100, 300]}},
            {
                "name": "web",
                "material": "board",
                "size": {"width": 5, "height": 10},
                "run": {"from": 0, "to": 400, "at": 0.3},
            },
        ],
    }
    return raw


def faces_named(found: SurfaceParts, word: str) -> list[SolidFace]:
    return [face for own in found.faces for face in own if word in face.name]


def spread(faces: list[SolidFace]) -> tuple[np.ndarray, np.ndarray]:
    points = np.vstack([face.outline for face in faces])
    return points.min(axis=0), points.max(axis=0)


# --- where surface parts stand -------------------------------------------------------------------


def test_parts_of_a_wing_stand_where_they_belong() -> None:
    """Places by hand, in metres, of a wing of constant chord: skins over it, ribs and web inside.

    The section is 12 % thick by definition of its digits (NACA Report 460): 24 mm of 200.
    """
    found = parts_of(wing())
    assert all(found.faces[: len(found.parts) - 1])
    low, high = spread(faces_named(found, "skin"))
    assert (low[1], high[1]) == pytest.approx((-0.4, 0.4))
    assert high[2] - low[2] == pytest.approx(0.024, abs=0.006)  # the middle of 5 mm sheet
    for number, span in ((0, 0.1), (1, 0.3)):
        ribs = [face for face in faces_named(found, "rib") if face.part.endswith(f"{number + 1}")]
        assert {abs(round(float(y), 6)) for face in ribs for y in face.outline[:, 1]} == {span}
    low, high = spread(faces_named(found, "web"))
    assert low == pytest.approx((0.06, -0.4, -0.005), abs=1e-6)
    assert high == pytest.approx((0.06, 0.4, 0.005), abs=1e-6)


def test_a_plate_and_its_control_stand_flat_and_side_by_side() -> None:
    raw = glider()
    tail = raw["surfaces"]["tailplane"]
    tail["controls"] = {"elevator": {"kind": "elevator", "from": 0, "to": 150, "chord": 0.3}}
    found = parts_of(raw)
    tail_faces = [f for own in found.faces for f in own if f.group == "tailplane"]
    plate = [f for f in tail_faces if f.move[0] == 0.0]
    control = [f for f in faces_named(found, "elevator") if f.move[0] > 0.0]
    assert plate
    assert control
    assert spread(control)[0][0] > spread(plate)[0][0]
    for face in (*plate, *control):
        assert np.ptp(face.outline[:, 2]) == pytest.approx(0.0, abs=1e-9)


# --- what hides what -----------------------------------------------------------------------------


def square(x: float, y: float, side: float, depth: float, slope: float = 0.0) -> np.ndarray:
    """A square on the paper; its depth grows with x by the slope."""
    corners = [(x, y), (x + side, y), (x + side, y + side), (x, y + side)]
    return np.array([(u, v, depth + slope * (u - x)) for u, v in corners])


def order_of(*faces: np.ndarray) -> list[int]:
    return painting_order([Polygon(face[:, :2]) for face in faces], faces)


def test_what_is_nearer_where_faces_overlap_is_painted_later() -> None:
    """A long slope whose middle is farther than a small square, but which is nearer over it."""
    slope, small = square(0.0, 0.0, 1.0, 0.0, slope=1.0), square(0.8, 0.4, 0.1, 0.7)
    assert slope[:, 2].mean() < small[:, 2].mean()
    assert order_of(slope, small) == [1, 0]
    assert order_of(small, slope) == [0, 1]


def test_faces_that_hide_each_other_in_a_ring_are_all_painted() -> None:
    bars = []
    for turn in range(3):  # three sticks laid over each other like a closed box of three flaps
        a = 2 * math.pi * turn / 3
        along, across = np.array([math.cos(a), math.sin(a)]), np.array([-math.sin(a), math.cos(a)])
        flat = [along * s + across * (0.3 + w) for s, w in ((-1, 0), (1, 0), (1, 0.1), (-1, 0.1))]
        bars.append(np.array([(x, y, along @ (x, y)) for x, y in flat]))
    assert sorted(order_of(*bars)) == [0, 1, 2]


def test_skins_hide_ribs_until_they_are_pulled_apart() -> None:
    found = parts_of(wing())
    faces = [face for own in found.faces for face in own]
    together, apart = isometric(faces), isometric(faces, explode=0.08)
    keys = {part.name: part.key for part in found.parts}
    rib = next(key for name, key in keys.items() if name.startswith("rib"))
    assert not number_places(together)[rib][2]
    x, y, seen = number_places(apart)[rib]
    assert seen
    last = [face for face in apart if face.polygon.contains(shapely.Point(x, y))][-1]
    assert last.part == rib


def test_things_over_each_other_come_apart_upwards() -> None:
    """Two plates in one place in plan, 10 mm apart, move apart; one beside them stays."""
    flat = np.array([(0.0, 0.0), (0.1, 0.0), (0.1, 0.1), (0.0, 0.1)])

    def plate(name: str, z: float, x: float = 0.0) -> SolidFace:
        outline = np.column_stack([flat[:, 0] + x, flat[:, 1], np.full(4, z)])
        return SolidFace(name, name, outline, group=name)

    faces = [plate("low", 0.0), plate("high", 0.01), plate("beside", 0.01, x=1.0)]
    near = {face.name: face for face in isometric(faces)}
    far = {face.name: face for face in isometric(faces, explode=0.1)}
    moved = {
        name: far[name].outline[0][1] - near[name].outline[0][1]
        for name in ("low", "high", "beside")
    }
    assert moved["low"] == pytest.approx(0.0)
    assert moved["beside"] == pytest.approx(0.0)
    assert moved["high"] > 0.2
