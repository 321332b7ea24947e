"""The drawings of whole designs: lettering, scale, frame, words for the blind, hidden lines."""

from __future__ import annotations

import math
import os
import re
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given

from plansgen.figures.collisions import collisions, crossed_texts
from plansgen.figures.style import colour
from plansgen.library.folder import design_slugs
from tests.designs import EVERY_LAYOUT, Raw, bare, design_of, skin, surface, trainer, wing
from tests.figures.sheets import Drawn, demo_sheets, drawn, root_of, strokes, texts, view_box
from tests.random_designs import designs
from tests.slow import SOME_SLOW_ONES

REPOSITORY = Path(__file__).resolve().parents[2]
DEMO = design_slugs(REPOSITORY)
VIEWS = ("plan", "side", "front")
PT_PER_MM = 72 / 25.4
FRAME_PT = 0.7 * PT_PER_MM  # the line that may lie outside the frame: centring marks belong to it


def demo(slug: str) -> dict[str, Drawn]:
    """The drawings of a demo design."""
    return demo_sheets(slug)


def scale_of(sheet: Drawn) -> tuple[int, int]:
    """Drawn and real length of the scale in the title block."""
    (found,) = (text for text in texts(sheet.drawing) if re.fullmatch(r"\d+:\d+", text))
    first, second = found.split(":")
    return int(first), int(second)


def check_lettering_and_frame(sheets: dict[str, Drawn]) -> None:
    for name, sheet in sheets.items():
        assert collisions(sheet.figure) == [], name
        frame = sheet.figure.limits
        enlarged = sheet.drawing.width_mm / (view_box(sheet.drawing)[0] / PT_PER_MM)
        for stroke in strokes(sheet.drawing):
            if math.isclose(stroke.width_pt, FRAME_PT, abs_tol=0.01):
                continue
            (left, low), (right, high) = stroke.points.min(axis=0), stroke.points.max(axis=0)
            assert left >= frame.left * enlarged - 0.1, name
            assert low >= frame.bottom * enlarged - 0.1, name
            assert right <= frame.right * enlarged + 0.1, name
            assert high <= frame.top * enlarged + 0.1, name


def check_scale(sheet: Drawn) -> None:
    """The series is that of ISO 5455, table 1 (from memory): 1, 2 and 5 times powers of ten."""
    first, second = scale_of(sheet)
    assert 1 in (first, second)
    assert re.fullmatch("[125]0*", str(max(first, second)))


def check_span(sheet: Drawn) -> None:
    """Both leading edge tips and the extension lines of the span, in printed millimetres."""
    first, second = scale_of(sheet)
    airframe = sheet.dossier.airframe
    tip = max(airframe.surface(key).stations[-1].y for key in airframe.reference.wings)
    widest = max(
        (f.width / 2 + abs(f.y) for body in airframe.bodies for f in body.frames), default=0.0
    )
    if tip <= widest:
        return  # its tips are under a body, and drawn hidden
    half = tip * 1000 * first / second
    found = list(strokes(sheet.drawing))
    (middle,) = {
        round(float(stroke.points[:, 0].mean()), 4) for stroke in found if stroke.dashes == 4
    }
    edges = np.concatenate([stroke.points[:, 0] for stroke in found if _is_edge(stroke.style)])
    for end in (middle - half, middle + half):
        assert np.abs(edges - end).min() < 0.05
    upright = np.array(
        [
            piece[0, 0]
            for stroke in found
            for piece in stroke.pieces
            if stroke.style.get("stroke") == colour("thin") and np.ptp(piece[:, 0]) < 1e-6
        ]
    )
    for end in (middle - half, middle + half):
        assert np.abs(upright - end).min() < 0.05


def check_charts_are_not_crossed(sheets: dict[str, Drawn]) -> None:
    for name in ("balance-line", "speeds", "stall", "trim"):
        assert name not in sheets or crossed_texts(sheets[name].figure) == [], name


def _is_edge(style: dict[str, str]) -> bool:
    """Continuous wide: visible edges, after ISO 128-2 (from memory)."""
    wide = math.isclose(float(style.get("stroke-width", 0)), 0.5 * PT_PER_MM, abs_tol=0.01)
    return style.get("stroke") == colour("ink") and wide and "stroke-dasharray" not in style


@pytest.mark.parametrize("slug", DEMO)
def test_demo_drawings_are_clean(slug: str) -> None:
    sheets = demo(slug)
    shape = {"card", "plan", "side", "front", "balance", "masses"}
    flight = {"balance-line", "speeds", "stall", "elevator", "trim"}
    strength = {"loads", "reserve", "reach", "cuts", "static-test"}
    power = {"power", "wiring", "alternatives"}
    layers = {f"plan-{layer}" for layer in ("structure", "masses", "air", "controls")}
    linkages = {name for name in sheets if name.startswith("linkage-")}
    assert linkages
    assert set(sheets) - {"bracing"} - linkages == shape | flight | strength | power | layers
    assert ("bracing" in sheets) == (slug == "shelduck")
    check_lettering_and_frame(sheets)
    for name in VIEWS:
        check_scale(sheets[name])
    check_span(sheets["plan"])


@pytest.mark.parametrize("slug", DEMO)
def test_no_line_runs_through_a_demo_drawing_s_lettering(slug: str) -> None:
    for name, sheet in demo(slug).items():
        assert crossed_texts(sheet.figure) == [], name


@pytest.mark.long
@pytest.mark.parametrize("build", EVERY_LAYOUT.values(), ids=EVERY_LAYOUT)
def test_drawings_of_every_layout_are_clean(build: type[Raw]) -> None:
    sheets = drawn(design_of(build()))
    assert "elevator" not in sheets
    check_lettering_and_frame(sheets)
    check_charts_are_not_crossed(sheets)
    check_span(sheets["plan"])


@pytest.mark.long
@SOME_SLOW_ONES
@given(designs())
def test_drawings_of_any_design_are_clean(raw: Raw) -> None:
    sheets = drawn(design_of(raw))
    check_lettering_and_frame(sheets)
    check_charts_are_not_crossed(sheets)
    for name in VIEWS:
        check_scale(sheets[name])
    check_span(sheets["plan"])


@pytest.mark.parametrize("slug", DEMO)
def test_alternative_texts_name_the_main_numbers(slug: str) -> None:
    sheets = demo(slug)
    dossier = sheets["plan"].dossier
    airframe, ready, target = dossier.airframe, dossier.balance.ready, dossier.balance.target
    assert ready is not None
    assert target is not None
    length = airframe.extents.x_max - airframe.extents.x_min
    height = airframe.extents.z_max - airframe.extents.z_min
    wanted = {
        "card": (airframe.reference.span, 1),
        "plan": (airframe.reference.span, 1000, length, airframe.reference.mac),
        "side": (length, 1000, height),
        "front": (airframe.reference.span, 1000, height),
        "balance": (ready.state.x, 1000, target.x),
        "masses": (ready.state.mass, 1000),
    }
    for name, (first, factor, *others) in wanted.items():
        alt = sheets[name].drawing.alt
        assert dossier.name in alt
        numbers = [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", alt)]
        for value in (first, *others):
            # Half of what the words are rounded to: a whole unit, or a hundredth of a metre.
            half = 0.5 if factor == 1000 else 0.005
            assert min(abs(number - value * factor) for number in numbers) <= half + 1e-9, name


@pytest.mark.parametrize("slug", DEMO)
def test_the_alternative_text_stands_in_the_file_too(slug: str) -> None:
    for sheet in demo(slug).values():
        root = root_of(sheet.drawing)
        description = root.find("{http://www.w3.org/2000/svg}desc")
        assert description is not None
        assert description.text == sheet.drawing.alt


def test_a3_is_a4_enlarged_by_root_two() -> None:
    """Sizes of ISO 216: A4 is 210 × 297 mm, A3 297 × 420 mm; both cut to whole millimetres."""
    seen = set()
    for slug in DEMO:
        for name in VIEWS:
            drawing = demo(slug)[name].drawing
            (kind,) = (text for text in texts(drawing) if re.search(r" view, A\d$", text))
            width, height = view_box(drawing)
            assert width / PT_PER_MM == pytest.approx(297, abs=0.01)
            assert height / PT_PER_MM == pytest.approx(210, abs=0.01)
            if kind.endswith("A3"):
                assert drawing.width_mm == pytest.approx(420, abs=0.05)
                assert drawing.height_mm == pytest.approx(297, abs=0.05)
                assert drawing.width_mm / (width / PT_PER_MM) == pytest.approx(
                    math.sqrt(2), abs=0.5 / 297
                )
            else:
                assert (drawing.width_mm, drawing.height_mm) == (297, 210)
            seen.add(kind[-2:])
    assert seen == {"A3", "A4"}


_HASHES = """
import hashlib, sys
from plansgen.figures.all import draw_all
from tests.designs import design_of, trainer
from plansgen.dossier import work_out
design = design_of(trainer())
for name, drawing in draw_all(design, work_out(design)).items():
    print(name, hashlib.sha256(drawing.svg + drawing.dark).hexdigest())
"""


def test_the_same_bytes_under_any_hash_seed() -> None:
    def run(seed: str) -> str:
        return subprocess.run(
            [sys.executable, "-c", _HASHES],
            env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=REPOSITORY,
            check=True,
            capture_output=True,
            text=True,
        ).stdout

    first = run("1")
    assert len(first.splitlines()) == 15
    assert run("2") == first


def pod(z: float) -> Raw:
    """A wing with a pod that lies wholly within its chord as seen from above."""
    frames = [{"x": 0, "width": 40, "height": 30}, {"x": 100, "width": 40, "height": 30}]
    body = {"role": "pod", "stations": frames, "at": {"x": 200, "z": z}, "parts": [skin("all")]}
    fin = surface("fin", [(0, 0, 60), (80, 10, 50)], at={"x": 400}, parts=[skin()])
    return bare({"wing": wing(parts=[skin()]), "fin": fin}, bodies={"pod": body})


def edges_at_pod(z: float) -> tuple[int, int]:
    """How many visible and hidden edge points of the card picture are corners of the pod."""
    card = drawn(design_of(pod(z)))["card"]
    body = card.dossier.airframe.bodies[0]
    found = list(strokes(card.drawing))
    outline = np.vstack([stroke.points for stroke in found if _is_edge(stroke.style)])
    hidden = [stroke.points for stroke in found if stroke.dashes == 2]
    tip = card.dossier.airframe.surfaces[0].stations[-1]
    middle = (outline[:, 0].min() + outline[:, 0].max()) / 2
    per_metre = (outline[:, 0].max() - middle) / tip.y
    top = outline[:, 1].max() + tip.x * per_metre  # height of the datum: the wing is foremost
    corners = [
        (middle + side * frame.width / 2 * per_metre, top - frame.x * per_metre)
        for frame in body.frames
        for side in (-1, 1)
    ]

    def count(points: list[np.ndarray]) -> int:
        every = np.vstack(points) if points else np.empty((0, 2))
        return sum(bool((np.abs(every - corner) < 0.05).all(axis=1).any()) for corner in corners)

    return count([outline]), count(hidden)


def test_a_part_wholly_under_another_has_only_dashed_edges() -> None:
    """Visible edges continuous wide, hidden ones dashed narrow: ISO 128-2 (from memory)."""
    assert edges_at_pod(-80) == (0, 4)


def test_a_part_on_top_has_only_full_edges() -> None:
    assert edges_at_pod(80) == (4, 0)


def test_a_fin_s_offset_does_not_lower_its_trailing_edge() -> None:
    """A fin turned about its own (upright) span keeps its height: plain geometry."""
    raw = trainer()
    straight = drawn(design_of(raw))["side"]
    raw["surfaces"]["fin"]["incidence"] = 6
    turned = drawn(design_of(raw))["side"]

    def top_and_foot(sheet: Drawn) -> list[float]:
        heights = [
            stroke.points[:, 1] for stroke in strokes(sheet.drawing) if _is_edge(stroke.style)
        ]
        every = np.concatenate(heights)
        return [float(every.min()), float(every.max())]

    assert top_and_foot(turned) == pytest.approx(top_and_foot(straight), abs=0.01)
