"""Areas and volumes of bodies against solid geometry.

Closed forms of cones, frusta and prismatoids are elementary; where none is simple, the reference is
quadrature by scipy.
"""

from __future__ import annotations

import math

import pytest
from scipy.integrate import dblquad
from scipy.special import ellipe

from plansgen.airframe.bodies import FramePoint, box_faces, round_faces, work_out_body


def frame(x: float, width: float, height: float | None = None, z: float = 0.0) -> FramePoint:
    """A cross-section; lengths in whatever unit the test speaks of."""
    return FramePoint(x, 0.0, z, width, width if height is None else height)


def test_frustum_of_a_cone() -> None:
    """Closed form π (r + R) s: r 30, R 50, h 100 gives slant 101.98039 and area 25630.468."""
    faces = round_faces([frame(0, 60), frame(100, 100)])
    skin = faces.sides + faces.top + faces.bottom
    assert skin == pytest.approx(math.pi * 80 * math.hypot(100, 20), rel=1e-12)
    assert skin == pytest.approx(25630.468, abs=1e-3)
    assert (faces.front, faces.rear) == pytest.approx((math.pi * 900, math.pi * 2500))


def test_cone() -> None:
    """Closed form π r s: r 50, h 120 gives slant 130 and area 20420.35. A point stands in for 0."""
    faces = round_faces([frame(0, 1e-9), frame(120, 100)])
    assert faces.sides + faces.top + faces.bottom == pytest.approx(20420.35, abs=0.01)


def test_faces_of_a_round_body_share_its_skin() -> None:
    """Symmetry of a circle: a quarter of the way round is top, a quarter bottom, half the sides."""
    faces = round_faces([frame(0, 60), frame(100, 60)])
    skin = math.pi * 60 * 100
    assert (faces.sides, faces.top, faces.bottom) == pytest.approx((skin / 2, skin / 4, skin / 4))


def test_elliptic_cylinder() -> None:
    """Perimeter of an ellipse by the complete elliptic integral, 4 a E(1 - b²/a²)."""
    faces = round_faces([frame(0, 120, 60), frame(200, 120, 60)])
    perimeter = 4 * 60 * ellipe(1 - 30**2 / 60**2)
    assert faces.sides + faces.top + faces.bottom == pytest.approx(perimeter * 200, rel=1e-9)


def test_bent_elliptic_loft_by_quadrature() -> None:
    """Reference: scipy.integrate.dblquad of |∂r/∂u × ∂r/∂θ| written out in components."""
    fore, aft = frame(0, 100, 60), frame(250, 40, 70, z=35)

    def density(theta: float, u: float) -> float:
        a, b = 50 - 30 * u, 30 + 5 * u
        along = (250.0, -30 * math.cos(theta), 5 * math.sin(theta) + 35)
        around = (0.0, -a * math.sin(theta), b * math.cos(theta))
        cross = (
            along[1] * around[2] - along[2] * around[1],
            -along[0] * around[2],
            along[0] * around[1],
        )
        return math.hypot(*cross)

    expect = dblquad(density, 0, 1, 0, 2 * math.pi, epsabs=1e-6)[0]
    faces = round_faces([fore, aft])
    assert faces.sides + faces.top + faces.bottom == pytest.approx(expect, rel=1e-8)


def test_straight_box() -> None:
    """A box 50 wide, 60 high, 300 long."""
    faces = box_faces([frame(0, 50, 60), frame(300, 50, 60)])
    found = (faces.sides, faces.top, faces.bottom, faces.front, faces.rear)
    assert found == pytest.approx((2 * 60 * 300, 50 * 300, 50 * 300, 3000, 3000))
    assert faces.all == pytest.approx(2 * (50 * 60 + 50 * 300 + 60 * 300))


def test_tapered_box() -> None:
    """Frustum of a square pyramid: 4 trapezoids of slant height √(h² + ((a - b)/2)²)."""
    faces = box_faces([frame(0, 80), frame(200, 40)])
    slant = math.hypot(200, 20)
    assert faces.sides == pytest.approx(2 * 60 * slant)
    assert (faces.top, faces.bottom) == pytest.approx((60 * slant, 60 * slant))


def test_box_with_a_level_top() -> None:
    """Plane geometry: the bottom slopes by the whole change of height, the top not at all."""
    faces = box_faces([frame(0, 60, 80), frame(200, 60, 40, z=20)])
    assert faces.top == pytest.approx(60 * 200)
    assert faces.bottom == pytest.approx(60 * math.hypot(200, 40))


def test_volume_of_frusta() -> None:
    """Closed forms h/3 (A + √(A B) + B), and π h/3 (r² + r R + R²)."""
    box = work_out_body([frame(0, 80), frame(200, 40)], shape="box", mirrored=False)
    assert box.volume == pytest.approx(200 / 3 * (6400 + 3200 + 1600))
    cone = work_out_body([frame(0, 60), frame(100, 100)], shape="round", mirrored=False)
    assert cone.volume == pytest.approx(math.pi * 100 / 3 * (900 + 1500 + 2500))


def test_volume_of_a_box_that_narrows_as_it_rises() -> None:
    """Prismatoid formula (h/6)(A₁ + 4 A_m + A₂), exact for sides that vary linearly."""
    box = work_out_body([frame(0, 80, 40), frame(200, 40, 90)], shape="box", mirrored=False)
    assert box.volume == pytest.approx(200 / 6 * (3200 + 4 * 60 * 65 + 3600))


def test_side_area_and_its_centre() -> None:
    """Trapezoid of heights a, b over h: centre h/3 (a + 2b)/(a + b) from a."""
    body = work_out_body([frame(10, 50, 60), frame(310, 50, 90)], shape="box", mirrored=False)
    assert body.side_area == pytest.approx(300 * 75)
    assert body.side_x == pytest.approx(10 + 300 / 3 * (60 + 180) / 150)


def test_a_pair_counts_twice() -> None:
    """Two floats have twice the skin, volume and side area of one, and the same size."""
    frames = [frame(0, 50, 60), frame(300, 40, 30, z=5)]
    one = work_out_body(frames, shape="round", mirrored=False)
    two = work_out_body(frames, shape="round", mirrored=True)
    assert two.wetted == pytest.approx(2 * one.wetted)
    assert two.volume == pytest.approx(2 * one.volume)
    assert two.side_area == pytest.approx(2 * one.side_area)
    assert (two.length, two.width, two.height) == (one.length, one.width, one.height)
