"""A small model whose strength is known throughout, and the same made comfortable everywhere."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from plansgen.dossier import Dossier
from plansgen.library.design import Design
from plansgen.structure.joints import JointResult
from plansgen.structure.result import StructureResult
from plansgen.structure.strength import CaseStrength, SurfaceStrength
from tests.designs import Raw, design_of, dossier_of, item, skin
from tests.flight.stubby import stubby

ENOUGH = 20.0  # a reserve factor that nobody asks after


def stick(name: str, **more: Any) -> Raw:
    """A part of pine along the wing."""
    run = {"from": 0, "to": 380, "at": 0.3}
    return {"name": name, "material": "spruce", "run": run, "lies": "between"} | more


def raw() -> Raw:
    """The short-coupled model of weighed foam board, with a jointed spar, bands and a motor."""
    file = stubby(arm=450, tail_size=1.5)
    file["materials"]["board"]["like"] = "foam-board-5mm"
    file["materials"]["spruce"] = {
        "name": "spruce stick", "kind": "stick", "density": 430, "like": "pine",
    }  # fmt: skip
    file["surfaces"]["wing"]["parts"] += [
        stick("spar", size={"width": 10, "height": 5}),
        stick(
            "centre brace",
            material="birch-ply-3mm",
            run={"from": 0, "to": 90, "at": 0.3},
            size={"width": 3, "height": 12},
            count=2,
            joins=0,
            glue="epoxy-joint",
        ),
    ]
    frames = [
        {"x": -20, "width": 50, "height": 60},
        {"x": 600, "width": 30, "height": 40},
    ]
    file["bodies"] = {"fuselage": {"role": "fuselage", "stations": frames, "parts": [skin("all")]}}
    file["items"].append(item("motor", 40, x=-10, kind="motor"))
    file["allowance"] = {"paint": "40 g/m2"}
    file["structure"] = {
        "hold_down": [{"fastener": "rubber-band-6mm", "count": 6, "front": 90, "rear": 310}],
        "mounts": [{"item": "motor", "glue": "epoxy-joint", "area": "16 cm2", "to": "board"}],
    }
    return file


@cache
def model() -> tuple[Design, Dossier]:
    """It with its dossier, worked out once."""
    file = raw()
    return design_of(file), dossier_of(file)


# --- made comfortable --------------------------------------------------------------------------


def _easy_case(case: CaseStrength) -> CaseStrength:
    place = replace(case.weakest, reserve=ENOUGH, low=ENOUGH / 2, damp=ENOUGH / 2)
    return replace(case, weakest=place, tip_deflection=0.001, tip_twist=0.0)


def _easy_surface(surface: SurfaceStrength) -> SurfaceStrength:
    cases = tuple(_easy_case(case) for case in surface.cases)
    return replace(surface, cases=cases, worst=cases[0].weakest, sticks=(), suggestions=())


@cache
def easy() -> StructureResult:
    """The result with so much in reserve that no rule has anything to say."""
    result = model()[1].structure
    assert result is not None
    reach = result.surfaces[0].reach
    assert reach is not None
    wing, *tails = (_easy_surface(surface) for surface in result.surfaces)
    reach = replace(reach, least=reach.now, least_share=reach.now_share, stiffness_out=1e9)
    return replace(
        result,
        surfaces=(replace(wing, reach=reach), *(replace(tail, reach=None) for tail in tails)),
        joints=tuple(
            replace(joint, brace_reserve=ENOUGH, glue_reserve=ENOUGH, case="pull-up")
            for joint in result.joints
        ),
        hold_downs=tuple(
            replace(
                hold,
                cases=tuple(replace(case, reserve=ENOUGH) for case in hold.cases),
                gives_on_nose=True,
            )
            for hold in result.hold_downs
        ),
        mounts=tuple(replace(mount, reserve=ENOUGH) for mount in result.mounts),
        booms=tuple(
            replace(boom, cases=tuple(replace(c, reserve=ENOUGH, lost=None) for c in boom.cases))
            for boom in result.booms
        ),
        suggestions=(),
    )


def with_wing(**more: Any) -> StructureResult:
    """The comfortable result with something of its wing changed."""
    wing, *tails = easy().surfaces
    return replace(easy(), surfaces=(replace(wing, **more), *tails))


def with_case(key: str, **more: Any) -> StructureResult:
    """The same with one case of its wing; reserve, low and damp are of the weakest place."""
    place = {name: more.pop(name) for name in ("reserve", "low", "damp") if name in more}
    cases = [
        replace(case, weakest=replace(case.weakest, **place), **more)
        if case.case.key == key
        else case
        for case in easy().surfaces[0].cases
    ]
    return with_wing(cases=tuple(cases))


def with_joint(**more: Any) -> StructureResult:
    """The same with its joint changed."""
    joint: JointResult = easy().joints[0]
    return replace(easy(), joints=(replace(joint, **more),))
