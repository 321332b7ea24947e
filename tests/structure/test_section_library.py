"""The same sections in a general-purpose finite element library for cross-sections.

It is sectionproperties (R. van Leeuwen), which solves the warping problem on a triangle mesh and
so knows corners and finite wall thickness; thin-wall theory does not.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest
from shapely import Polygon, box, unary_union

from plansgen.structure.cells import analyse
from plansgen.structure.section import Cut, properties, stresses
from tests.structure.strips import chain, cut, full_box, solid, strip

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    pre = pytest.importorskip("sectionproperties.pre")
    analysis = pytest.importorskip("sectionproperties.analysis")

pytestmark = pytest.mark.filterwarnings("ignore")

Shape = tuple[Polygon, float]  # outline, modulus; Poisson's ratio 0, so that G is half of it


def solved(shapes: Sequence[Shape], mesh: float, *, warping: bool) -> Any:
    """The library's section, by stiffness."""
    whole = None
    for number, (outline, modulus) in enumerate(shapes):
        stuff = pre.Material(f"m{number}", modulus, 0.0, 1.0, 1.0, "w")
        one = pre.Geometry(outline, stuff)
        whole = one if whole is None else whole + one
    assert whole is not None
    section = analysis.Section(whole.create_mesh(mesh_sizes=[mesh]))
    section.calculate_geometric_properties()
    if warping:
        section.calculate_warping_properties()
    return section


def tube(width: float, height: float, wall: float) -> Polygon:
    outer = box(-width / 2, -height / 2, width / 2, height / 2)
    return outer.difference(outer.buffer(-wall, join_style="mitre"))


def test_box_with_a_stiff_cap() -> None:
    """Transformed section about both axes: exact on both sides."""
    section = solved([(tube(60, 40, 5), 1.0), (box(-5, 20, 5, 22), 500.0)], 10, warping=False)
    ours = properties(cut([*full_box(60, 40, 5), strip((-5, 21), (5, 21), 2, solid(500))]))
    bending, chord_bending, product = section.get_eic()
    assert ours.bending == pytest.approx(bending, rel=1e-6)
    assert ours.chord_bending == pytest.approx(chord_bending, rel=1e-6)
    assert ours.product == pytest.approx(product, abs=1e-3)
    assert ours.axial == pytest.approx(section.get_ea(), rel=1e-6)


def angle_stresses() -> tuple[Any, Cut]:
    outline = unary_union([box(0, 0, 8, 80), box(8, 0, 60, 8)])
    section = solved([(outline, 1.0)], 20, warping=False)
    return section, cut([strip((4, 0), (4, 80), 8), strip((8, 4), (60, 4), 8)])


def test_stresses_of_an_angle_bent_both_ways() -> None:
    """Unsymmetric bending with a pull: the greatest tension and compression anywhere."""
    section, ours = angle_stresses()
    section.calculate_warping_properties()
    # Its positive moment about x stretches the upper side; that about y pushes the right one.
    found = section.calculate_stress(n=100, mxx=-2000, myy=1500).get_stress()
    sigma = np.concatenate([group["sig_zz"] for group in found])
    mine = stresses(ours, shear=0, torque=0, bending=2000, chord_bending=1500, axial=100)
    by_kind = {one.kind: one.stress for one in mine}
    assert by_kind["tension"] == pytest.approx(sigma.max(), rel=1e-6)
    assert by_kind["compression"] == pytest.approx(-sigma.min(), rel=1e-6)


def test_torsion_and_shear_of_two_thin_cells() -> None:
    """A box 100 × 40 with walls of 1 and a web of 2.

    Thin-wall theory leaves out the corners: an error of the order of wall over height, 1/40.
    """
    outline = unary_union([tube(101, 41, 1), box(-16, -20, -14, 20)])
    section = solved([(outline, 1.0)], 2, warping=True)
    round_it = [(-50, -20), (-15, -20), (50, -20), (50, 20), (-15, 20), (-50, 20), (-50, -20)]
    ours = cut([*chain(round_it, 1, solid(1, 0.5)), strip((-15, -20), (-15, 20), 2, solid(1, 0.5))])
    assert properties(ours).torsion == pytest.approx(section.get_ej() / 2, rel=1 / 40)

    found = section.calculate_stress(vy=1000).get_stress()[0]
    x, y = np.asarray(section.mesh["vertices"]).T
    flow, _ = analyse(ours).flow((0.0, 1000.0), 0.0)
    # The web is the last wall; the outer webs are the third and the sixth.
    for wall, thickness, at in ((6, 2, -15), (2, 1, 50), (5, 1, -50)):
        near = (np.abs(x - at) < thickness / 2 + 0.01) & (np.abs(y) < 1.0)
        tau = float(np.abs(found["sig_zy"][near]).mean())
        assert float(flow.peak()[wall]) / thickness == pytest.approx(tau, rel=1 / 40)


def test_shear_centre_of_an_open_channel() -> None:
    """Shear off the centre turns: where our flow would turn nothing is its shear centre."""
    outline = unary_union([box(-1, -21, 40, -19), box(-1, -19, 1, 19), box(-1, 19, 40, 21)])
    section = solved([(outline, 1.0)], 2, warping=True)
    shear_centre = section.get_sc()[0]
    ours = cut(chain([(40, -20), (0, -20), (0, 20), (40, 20)], 2), axis=(0.0, 0.0))
    # A force at the shear centre turns about the axis by x V, nose down when it lies aft.
    assert -analyse(ours).torque[1] == pytest.approx(shear_centre, abs=0.3)
