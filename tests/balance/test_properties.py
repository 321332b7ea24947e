"""What must hold for the balance of every aeroplane: statics alone."""

from __future__ import annotations

import copy
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from plansgen.airframe.build import build_airframe
from plansgen.balance.buildup import build_up
from plansgen.balance.elements import Moments, block, inertia_about, quad, simplex, together
from plansgen.balance.result import BalanceResult, Loading
from tests.designs import Raw, balance_of, battery, file_of, item, stock
from tests.random_designs import designs, not_finite, scaled, shifted, split

moderate = settings(max_examples=25, deadline=None)
places = st.floats(-1, 1).map(lambda value: round(value, 4))
vertices = st.tuples(places, places, places)
masses = st.floats(0.001, 2)


def ready(result: BalanceResult) -> Loading:
    assert result.ready is not None
    return result.ready


def close(value: float) -> Any:
    return pytest.approx(value, rel=1e-9, abs=1e-11)


# --- whole aeroplanes ------------------------------------------------------------------------


@moderate
@given(designs())
def test_everything_is_finite(raw: Raw) -> None:
    result = balance_of(raw)
    assert not_finite(result) == []
    total = sum(line.mass for line in result.lines) + (ready(result).battery_mass or 0.0)
    assert ready(result).state.mass == close(total)
    assert all(line.mass > 0 for line in result.lines)


@moderate
@given(designs())
def test_lines_make_the_balance_point(raw: Raw) -> None:
    result = balance_of(raw)
    assert result.empty is not None
    for axis in "xyz":
        moment = sum(line.mass * getattr(line, axis) for line in result.lines)
        assert getattr(result.empty, axis) == close(moment / result.empty.mass)


@moderate
@given(designs())
def test_mirrored_aeroplanes_balance_on_the_centre_line(raw: Raw) -> None:
    state = ready(balance_of(raw)).state
    assert state.y == 0.0
    assert all(line.y == 0.0 for line in balance_of(raw).lines)


@moderate
@given(designs(), st.integers(-900, 900), st.integers(-300, 300))
def test_another_datum(raw: Raw, x: int, z: int) -> None:
    one, other = ready(balance_of(raw)).state, ready(balance_of(shifted(raw, x=x, z=z))).state
    assert (other.x, other.z) == (close(one.x + x / 1000), close(one.z + z / 1000))
    for name in ("mass", "mac_share", "from_root", "from_mac", "ixx", "iyy", "izz", "ixz"):
        assert getattr(other, name) == close(getattr(one, name)), name


@moderate
@given(designs(), st.floats(0.4, 3.0))
def test_scaling_of_sheet_alone(raw: Raw, factor: float) -> None:
    """Sheet of the same mass per area: masses go with the square, inertias with the fourth."""
    raw = {key: value for key, value in raw.items() if key not in ("items", "batteries", "bay")}
    one, other = ready(balance_of(raw)).state, ready(balance_of(scaled(raw, factor))).state
    assert other.mass == close(one.mass * factor**2)
    assert other.x == close(one.x * factor)
    assert other.mac_share == close(one.mac_share)
    assert other.wing_loading == close(one.wing_loading)
    for name in ("ixx", "iyy", "izz"):
        assert getattr(other, name) == close(getattr(one, name) * factor**4), name


def _flat_sheet(raw: Raw) -> Raw:
    """Untwisted, of one section: then a panel's sheet is uniform and plane."""
    for surface in raw["surfaces"].values():
        surface["section"] = "NACA 2412"
        for station in surface["stations"]:
            station.pop("washout", None)
    return raw


@moderate
@given(designs().map(_flat_sheet), st.data())
def test_splitting_a_panel_changes_nothing(raw: Raw, data: st.DataObject) -> None:
    key = data.draw(st.sampled_from(sorted(raw["surfaces"])))
    panel = data.draw(st.integers(0, len(raw["surfaces"][key]["stations"]) - 2))
    part = data.draw(st.floats(0.1, 0.9))
    one = ready(balance_of(raw)).state
    other = ready(balance_of(split(raw, key, panel, part))).state
    for name in ("mass", "x", "z", "mac_share", "ixx", "iyy", "izz", "ixz"):
        assert getattr(other, name) == close(getattr(one, name)), name


@moderate
@given(designs(), st.floats(1, 500))
def test_a_mass_at_the_balance_point_leaves_it(raw: Raw, mass: float) -> None:
    state = ready(balance_of(raw)).state
    raw["items"].append(item("more", mass, x=state.x * 1000, z=state.z * 1000))
    other = ready(balance_of(raw)).state
    assert (other.x, other.z) == (close(state.x), close(state.z))
    assert other.iyy == close(state.iyy)


def _with_target(raw: Raw, share: float) -> Raw:
    raw = copy.deepcopy(raw)
    raw["balance"] = {
        "target": {"mac": share},
        "nose": {"x": -800},
        "tail": {"x": 2500},
    }
    return raw


@moderate
@given(designs(), st.floats(0.1, 0.5), st.floats(40, 300))
def test_sliding_the_battery_as_told_meets_the_target(raw: Raw, share: float, mass: float) -> None:
    raw = _with_target(raw, share)
    raw["batteries"], raw["bay"] = [battery(mass=mass)], {"from": -6000, "to": 6000}
    before = ready(balance_of(raw))
    assert before.remedy is not None
    assert before.battery_x is not None
    if not before.remedy.reached:
        assert before.remedy.battery_x in (close(-6.0), close(6.0))
        return
    assert before.remedy.ballast is None
    assert before.remedy.slide == close(before.remedy.battery_x - before.battery_x)  # type: ignore[operator]
    raw["batteries"][0]["x"] = before.remedy.battery_x * 1000  # type: ignore[operator]
    after = ready(balance_of(raw))
    assert after.state.mac_share == pytest.approx(share, abs=1e-8)
    assert after.remedy is not None
    assert after.remedy.within_limits
    assert after.remedy.offset == pytest.approx(0.0, abs=1e-9)


@moderate
@given(designs(), st.floats(0.1, 0.5))
def test_adding_ballast_as_told_meets_the_target(raw: Raw, share: float) -> None:
    """With a battery, it goes to the end of its bay first."""
    raw = _with_target(raw, share)
    before = ready(balance_of(raw))
    assert before.remedy is not None
    ballast = before.remedy.ballast
    assume(not before.remedy.reached)
    assert ballast is not None  # the places lie far out on both sides
    assume(ballast.mass < 25)  # the most that a file may hold
    assert (ballast.place == "nose") == (ballast.at_x < 0)
    assert ballast.total == close(before.state.mass + ballast.mass)
    if before.remedy.battery_x is not None:
        raw["batteries"][0]["x"] = before.remedy.battery_x * 1000
    raw["items"].append(item("ballast", ballast.mass * 1000, x=ballast.at_x * 1000))
    after = ready(balance_of(raw))
    assert after.state.mac_share == pytest.approx(share, abs=1e-8)
    assert after.state.wing_loading == close(ballast.wing_loading)


@moderate
@given(designs(), st.sampled_from(["nose", "tail"]))
def test_sensitivity_is_the_shift_that_ten_grams_make(raw: Raw, end: str) -> None:
    before = balance_of(raw)
    assert before.sensitivity is not None
    place = getattr(before.sensitivity, f"{end}_x")
    raw["items"].append(item("ten grams", 10, x=place * 1000))
    shift = ready(balance_of(raw)).state.x - ready(before).state.x
    assert shift == pytest.approx(getattr(before.sensitivity, end), rel=1e-6, abs=1e-12)
    assert (shift < 0) == (place < ready(before).state.x)


@moderate
@given(designs())
def test_inertia_is_that_of_a_real_body(raw: Raw) -> None:
    """Positive definite, and no principal moment above the sum of the other two."""
    state = ready(balance_of(raw)).state
    tensor = np.array([[state.ixx, 0, -state.ixz], [0, state.iyy, 0], [-state.ixz, 0, state.izz]])
    a, b, c = np.linalg.eigvalsh(tensor)
    assert a > 0
    assert c <= (a + b) * (1 + 1e-9)


@moderate
@given(designs(), st.floats(1, 400))
def test_a_weighed_part_wins_and_keeps_its_place(raw: Raw, mass: float) -> None:
    plain = balance_of(raw).lines[0]
    raw["surfaces"]["wing"]["parts"][0]["measured"] = mass
    line = balance_of(raw).lines[0]
    assert (line.mass, line.origin) == (close(mass / 1000), "measured")
    assert line.worked_out == close(plain.mass)
    assert (line.x, line.z) == (close(plain.x), close(plain.z))


@moderate
@given(designs(), st.floats(1, 400))
def test_a_weighed_surface_wins_over_its_parts(raw: Raw, mass: float) -> None:
    plain = [line for line in balance_of(raw).lines if line.group == "wing"]
    raw["surfaces"]["wing"]["measured"] = mass
    found = balance_of(raw)
    (line,) = (line for line in found.lines if line.group == "wing")
    assert (line.mass, line.origin) == (close(mass / 1000), "measured")
    assert line.worked_out == close(sum(part.mass for part in plain))
    assert line.x == close(plain[0].x)
    raw["surfaces"]["wing"]["measured_at"] = {"x": 333, "z": 7}
    moved = balance_of(raw).lines[0]
    assert (moved.x, moved.y, moved.z) == (close(0.333), 0.0, close(0.007))


# --- elements --------------------------------------------------------------------------------


@moderate
@given(st.lists(vertices, min_size=1, max_size=3), masses)
def test_mirrored_sum_lies_on_the_centre_plane(corners: list[Any], mass: float) -> None:
    one = simplex(corners, mass)
    both = one + one.mirrored()
    assert both.centre[1] == 0.0
    assert both.second[0, 1] == both.second[1, 2] == 0.0
    assert both.mass == close(2 * mass)
    assert one.mirrored().mirrored().second == pytest.approx(one.second)


@moderate
@given(vertices, st.tuples(*[st.floats(0.001, 1)] * 3), masses, vertices)
def test_parallel_axes(centre: Any, size: Any, mass: float, place: Any) -> None:
    """Steiner: I = I_c + m (d² 1 - d dᵀ)."""
    box = block(centre, size, mass)
    away = np.subtract(place, centre)
    expect = inertia_about(box, box.centre) + mass * (
        away @ away * np.eye(3) - np.outer(away, away)
    )
    assert inertia_about(box, np.asarray(place)) == pytest.approx(expect, abs=1e-12)


@moderate
@given(st.lists(st.tuples(vertices, masses), min_size=1, max_size=6), vertices)
def test_moving_keeps_mass_and_inertia(points: list[Any], to: Any) -> None:
    cloud = together(simplex([place], mass) for place, mass in points)
    moved = cloud.moved(to)
    assert moved.mass == close(cloud.mass)
    assert moved.centre == pytest.approx(to, abs=1e-9)
    one, other = (inertia_about(thing, thing.centre) for thing in (cloud, moved))
    assert other == pytest.approx(one, abs=1e-9)


@moderate
@given(st.tuples(vertices, vertices, vertices), st.floats(0.05, 0.95))
def test_a_triangle_is_the_sum_of_its_pieces(corners: Any, part: float) -> None:
    a, b, c = corners
    middle = tuple(p + part * (q - p) for p, q in zip(b, c, strict=True))
    whole = simplex(corners, 1.0)
    pieces = simplex((a, b, middle), part) + simplex((a, middle, c), 1 - part)
    assert pieces.first == pytest.approx(whole.first, abs=1e-12)
    assert pieces.second == pytest.approx(whole.second, abs=1e-12)


@moderate
@given(st.tuples(places, places), st.tuples(places, places), st.floats(0.1, 5))
def test_parallelogram_sheet(u: Any, v: Any, density: float) -> None:
    """Plane geometry: |u × v| times the density, centred on the diagonals' crossing."""
    area = abs(u[0] * v[1] - u[1] * v[0])
    assume(area > 1e-4)
    corners = [(0, 0, 0), (*u, 0), (u[0] + v[0], u[1] + v[1], 0), (*v, 0)]
    sheet = quad(*corners, density)  # type: ignore[arg-type]
    assert sheet.mass == close(area * density)
    assert sheet.centre == pytest.approx([(u[0] + v[0]) / 2, (u[1] + v[1]) / 2, 0], abs=1e-9)


@moderate
@given(designs())
def test_moments_and_lines_agree(raw: Raw) -> None:
    file = file_of(raw)
    for line, moments in build_up(file, build_airframe(file, {}), stock(file)):
        assert isinstance(moments, Moments)
        assert line.mass == close(moments.mass)
        assert math.isfinite(float(moments.second.sum()))
