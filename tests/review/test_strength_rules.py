"""Each rule about strength speaks when it should, says by how much, and is silent otherwise."""

from __future__ import annotations

import inspect
import math
import re
from collections.abc import Callable, Iterator
from dataclasses import replace

import pytest

from plansgen.airframe.build import Airframe
from plansgen.flight.result import FlightResult
from plansgen.review import (
    bracing_rules,
    joint_rules,
    material_rules,
    rules,
    spar_rules,
    strength_rules,
)
from plansgen.review.finding import Finding
from plansgen.structure.reserve import CAP
from plansgen.structure.result import StructureResult
from plansgen.structure.strength import StickComparison, Suggestion
from plansgen.structure.wires import BracedCase, BraceForce, BraceResult, Bracing
from tests.designs import design_of
from tests.review import sound
from tests.review.sound import easy, model, with_case, with_joint, with_wing

REACH = Suggestion("reach", "Let the spar reach 380 mm from the middle", 2.1)


def flight() -> FlightResult:
    found = model()[1].flight
    assert found is not None
    return found


def airframe() -> Airframe:
    return model()[1].airframe


def everything(structure: StructureResult) -> dict[str, Finding]:
    """What all the rules of strength say, by rule."""
    design = model()[0]
    found = rules._of_structure(design, airframe(), flight(), structure)
    return {finding.rule: finding for finding in found}


def only(found: Iterator[Finding]) -> Finding:
    (one,) = found
    texts = (one.title, one.number, one.limit, one.why, one.do, one.source)
    assert all(texts)
    assert not re.search(r"\bnan\b|\binf\b|None|  |\.\.", " ".join(texts)), one
    assert one.why.endswith(".")
    assert one.do.endswith(".")
    return one


def numbers(text: str) -> list[float]:
    return [float(found) for found in re.findall(r"\d+(?:\.\d+)?", text)]


def test_nothing_to_say_of_a_model_with_plenty_in_reserve() -> None:
    assert everything(easy()) == {}


def test_the_model_as_it_is_is_told_of_without_a_slip() -> None:
    structure = model()[1].structure
    assert structure is not None
    for finding in everything(structure).values():
        only(iter([finding]))


# --- the weakest place -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("case", "reserve", "low", "severity"),
    [
        ("pull-up", 2.0, 1.0, None),
        ("pull-up", 1.9, 1.1, "caution"),
        ("pull-up", 2.1, 0.9, "caution"),
        ("pull-up", 0.99, 0.5, "severe"),
        ("gust-up", 0.8, 0.4, "caution"),
        ("full-pull", 1.5, 1.1, None),
        ("nose", 1.2, 0.7, None),
        ("wing-tip", 1.2, 0.7, None),
    ],
)
def test_weakest_place(case: str, reserve: float, low: float, severity: str | None) -> None:
    """Below 1 something breaks (strength over load); what must hold is what it is flown at."""
    found = [*strength_rules.weakest(with_case(case, reserve=reserve, low=low))]
    assert [one.severity for one in found] == ([severity] if severity else [])
    for one in found:
        only(iter([one]))
        assert one.title.startswith("The wing breaks" if reserve < 1 else "The wing holds")


def test_suggestions_go_with_the_weakest_place() -> None:
    weak = with_case("gust-up", reserve=1.5)
    wing, *tails = weak.surfaces
    told = replace(weak, surfaces=(replace(wing, suggestions=(REACH,)), *tails))
    found = only(strength_rules.weakest(told))
    assert found.do == "Let the spar reach 380 mm from the middle (then 2.10 in its hardest case)."


def test_how_hard_it_may_be_flown_leaves_the_wanted_reserve() -> None:
    """Loads go with the load factor: 4 at reserve 1.2 is 2.4 at the wanted 2."""
    found = only(strength_rules.weakest(with_case("pull-up", reserve=1.2)))
    assert "no harder than 2.4 times its weight" in found.do


# --- all it can pull ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("reserve", "low", "severity"), [(0.8, 0.5, "caution"), (1.3, 0.9, "note"), (1.3, 1.1, None)]
)
def test_all_it_can_pull(reserve: float, low: float, severity: str | None) -> None:
    """A wing pulls (V/Vs)² times the weight (any text of flight mechanics): at the speed told that
    is what it holds.
    """
    structure = with_case("full-pull", reserve=reserve, low=low)
    found = [*strength_rules.full_pull(structure, flight())]
    assert [one.severity for one in found] == ([severity] if severity else [])
    if not severity:
        return
    case = next(c.case for c in structure.surfaces[0].cases if c.case.key == "full-pull")
    easy_speed, _, breaks = numbers(only(iter(found)).do)[:3]
    stall = flight().stall.speed
    assert (breaks / stall) ** 2 == pytest.approx(max(1, case.load_factor * low), rel=0.02)
    assert (easy_speed / stall) ** 2 == pytest.approx(
        max(1, case.load_factor * reserve / structure.wanted), rel=0.02
    )


def test_joints_and_bands_count_in_all_it_can_pull() -> None:
    hold = easy().hold_downs[0]
    cases = [replace(c, reserve=0.7) if c.case == "full-pull" else c for c in hold.cases]
    structure = replace(easy(), hold_downs=(replace(hold, cases=tuple(cases)),))
    found = only(strength_rules.full_pull(structure, flight()))
    assert "what holds the wing on" in found.number
    assert everything(structure).keys() == {found.rule}


# --- landings ----------------------------------------------------------------------------------


def test_landings_are_one_note() -> None:
    """Bands that let go are meant to (common practice, no source)."""
    structure = with_case("nose", reserve=0.5)
    wing, *tails = structure.surfaces
    cases = [
        replace(c, weakest=replace(c.weakest, reserve=0.8)) if c.case.key == "wing-tip" else c
        for c in wing.cases
    ]
    structure = replace(structure, surfaces=(replace(wing, cases=tuple(cases)), *tails))
    found = only(strength_rules.landings(structure))
    assert found.severity == "note"
    assert found.number.startswith("landing on one wing tip: the wing")
    assert "landing on the nose: the wing" in found.number
    assert "let the wing go" in found.why
    assert everything(structure).keys() == {"landing-breaks"}


def test_a_glued_joint_that_breaks_on_landing_wants_more_overlap() -> None:
    """The joint is given in the pull-up; its load on landing goes with the bending there."""
    cases = {case.case.key: case for case in easy().surfaces[0].cases}
    more = cases["wing-tip"].bending[0] / cases["pull-up"].bending[0]
    structure = with_joint(
        case="pull-up",
        bending=cases["pull-up"].bending[0],
        glue_reserve=0.6 * abs(more),
        brace_reserve=CAP,
    )
    found = only(strength_rules.landings(structure))
    assert "the glue of centre brace, reserve factor about 0.6" in found.number
    assert "More overlap" in found.do


# --- joints ------------------------------------------------------------------------------------


def in_the_pull_up(brace: float, glue: float | None = None) -> StructureResult:
    """The joint so strong in the pull-up, where its bending is that of the surface."""
    case = next(c for c in easy().surfaces[0].cases if c.case.key == "pull-up")
    cases = [
        c if c.case.key == "pull-up" else replace(c, bending=tuple(0.0 for _ in c.bending))
        for c in easy().surfaces[0].cases
    ]
    structure = with_joint(
        case="pull-up",
        bending=case.bending[0],
        brace_reserve=brace,
        glue_reserve=glue,
        least_height=0.012 * math.sqrt(2.0 / brace),
    )
    return replace(structure, surfaces=with_wing(cases=tuple(cases)).surfaces)


@pytest.mark.parametrize(
    ("brace", "glue", "severity"),
    [(2.1, 2.1, None), (1.5, 9.0, "caution"), (9.0, 1.5, "caution"), (0.8, 9.0, "severe")],
)
def test_joint(brace: float, glue: float, severity: str | None) -> None:
    found = [*joint_rules.joints(in_the_pull_up(brace, glue))]
    assert [one.severity for one in found] == ([severity] if severity else [])
    for one in found:
        only(iter([one]))


def test_braces_told_are_enough() -> None:
    """A rectangle has a section modulus of b h²/6 (elementary): number, and height squared.

    The brace is 12 mm high and two of them stand at the joint.
    """
    found = only(joint_rules.joints(in_the_pull_up(1.4)))
    count = numbers(found.do)[0]
    height = numbers(found.do.split("Or make it")[1])[0]
    assert 2.0 <= 1.4 * count / 2 < 2.0 * (count / (count - 1))
    assert 2.0 <= 1.4 * (height / 12) ** 2 < 2.4
    assert "Or make it" not in only(joint_rules.joints(in_the_pull_up(0.5))).do


def test_a_joint_that_only_a_landing_breaks_is_no_caution() -> None:
    tip = next(c for c in easy().surfaces[0].cases if c.case.key == "wing-tip")
    structure = with_joint(case="wing-tip", bending=40 * tip.bending[0], brace_reserve=CAP)
    assert not [*joint_rules.joints(structure)]


def test_a_flat_brace_is_told_to_stand() -> None:
    structure = in_the_pull_up(1.4)
    joint = replace(structure.joints[0], stands="flat")
    found = only(joint_rules.joints(replace(structure, joints=(joint,))))
    assert found.do.startswith("It lies flat: stand it on edge")


# --- hold-down and mounts ----------------------------------------------------------------------


def test_too_few_bands() -> None:
    hold = easy().hold_downs[0]
    cases = [replace(c, reserve=1.5, least=8) if c.case == "pull-up" else c for c in hold.cases]
    structure = replace(easy(), hold_downs=(replace(hold, cases=tuple(cases)),))
    found = only(joint_rules.hold_down(structure))
    assert (found.severity, found.do) == ("caution", "Use 8 of them, or thicker ones.")
    broken = tuple(replace(c, reserve=0.9, least=None) for c in cases)
    structure = replace(easy(), hold_downs=(replace(hold, cases=broken),))
    assert only(joint_rules.hold_down(structure)).severity == "severe"


def test_bands_that_never_let_go() -> None:
    """They are there to let go in a crash (common practice, no source); bolts are not."""
    hold = replace(easy().hold_downs[0], gives_on_nose=False)
    assert only(joint_rules.hold_down(replace(easy(), hold_downs=(hold,)))).severity == "note"
    bolts = replace(hold, lets_go=False)
    assert not [*joint_rules.hold_down(replace(easy(), hold_downs=(bolts,)))]


@pytest.mark.parametrize(("reserve", "severity"), [(2.0, None), (1.5, "note"), (0.9, "caution")])
def test_motor_mount(reserve: float, severity: str | None) -> None:
    mount = replace(easy().mounts[0], reserve=reserve, least_area=0.0031)
    found = [*joint_rules.mounts(replace(easy(), mounts=(mount,)))]
    assert [one.severity for one in found] == ([severity] if severity else [])
    if severity:
        assert "31.0 cm²" in only(iter(found)).do
        none = replace(mount, least_area=None)
        assert "Screw" in only(joint_rules.mounts(replace(easy(), mounts=(none,)))).do


# --- wires, struts, booms ----------------------------------------------------------------------


def braced(
    force: BraceForce, *, case: str = "pull-up", preload: float | None = None
) -> StructureResult:
    """The model with one wire or strut, in one case."""
    brace = BraceResult(
        part="port stay", name="lift wire", kind="wire", material="steel-wire", count=1,
        start=(0.0, 0.0, 0.0), end=(0.0, 0.2, 0.1), length=0.22, pull_strength=30.0,
        push_strength=None, worst_case=case, worst_force=force.force, reserve=force.reserve,
        diameter=0.0003, least_diameter=0.0005,
    )  # fmt: skip
    one = BracedCase(case=case, forces=(force,), loads={}, tips={}, preload=preload)
    wire = Suggestion("wire", "Make port stay (lift wire) 0.5 mm thick", 3.1)
    bracing = Bracing(braces=(brace,), cases=(one,), roots={}, notes=())
    return replace(easy(), bracing=bracing, suggestions=(wire,))


def pulled(reserve: float, *, force: float = 20.0, slack: bool = False) -> BraceForce:
    return BraceForce("port stay", "lift wire", force, slack, reserve)


@pytest.mark.parametrize(
    ("case", "reserve", "severity"),
    [
        ("pull-up", 2.5, None),
        ("pull-up", 1.5, "caution"),
        ("pull-up", 0.9, "severe"),
        ("gust-up", 0.9, "caution"),
        ("nose", 0.9, None),
    ],
)
def test_thin_wire(case: str, reserve: float, severity: str | None) -> None:
    found = [*bracing_rules.bracing(braced(pulled(reserve), case=case))]
    assert [one.severity for one in found] == ([severity] if severity else [])
    for one in found:
        assert "0.5 mm thick" in only(iter([one])).do


def test_strut_that_buckles() -> None:
    """Euler's load goes with the length squared (any text on elastic stability)."""
    structure = replace(braced(pulled(1.2, force=-9.0)), suggestions=())
    found = only(bracing_rules.bracing(structure))
    assert found.title == "Port stay buckles"
    assert found.number.startswith("9.0 N push in the pull-up")
    assert "half the length stands four times the push" in found.do


def test_slack_wires() -> None:
    slack = pulled(CAP, force=0.0, slack=True)
    found = only(bracing_rules.slack_wires(braced(slack, preload=4.2)))
    assert (found.severity, found.do) == ("note", "Rig every wire to 4.2 N.")
    assert "No preload" in only(bracing_rules.slack_wires(braced(slack))).do
    assert not [*bracing_rules.slack_wires(braced(pulled(CAP)))]
    assert not [*bracing_rules.slack_wires(braced(slack, case="push"))]


def boomed(case: str, **more: float) -> StructureResult:
    boom = next(boom for boom in easy().booms if boom.end == "tail")
    cases = tuple(replace(c, **more) if c.case == case else c for c in boom.cases)  # type: ignore[arg-type]
    return replace(easy(), booms=(replace(boom, cases=cases),))


@pytest.mark.parametrize(
    ("case", "reserve", "severity"),
    [("pull-up", 2.0, None), ("pull-up", 0.9, "severe"), ("gust-up", 1.9, "caution")],
)
def test_weak_boom(case: str, reserve: float, severity: str | None) -> None:
    found = [*bracing_rules.booms(boomed(case, reserve=reserve))]
    assert [one.severity for one in found] == ([severity] if severity else [])
    for one in found:
        assert "behind the wing" in only(iter([one])).title


@pytest.mark.parametrize(("lost", "fires"), [(0.14, False), (0.16, True)])
def test_boom_that_takes_from_the_tail(lost: float, fires: bool) -> None:
    found = [*bracing_rules.booms(boomed("elevator-nose-up", lost=lost))]
    assert [one.rule for one in found] == (["soft-boom"] if fires else [])


# --- the spar ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("bend", "twist", "severity"),
    [
        (0.039, 1.9, None),
        (0.041, 0.0, "note"),
        (0.001, -2.1, "note"),
        (0.001, 2.1, "caution"),
    ],
)
def test_soft_wing(bend: float, twist: float, severity: str | None) -> None:
    """10 % of a half span of 400 mm, and 2° (common practice, no source)."""
    structure = with_case("pull-up", tip_deflection=bend, tip_twist=math.radians(twist))
    found = [*spar_rules.deflection(airframe(), structure)]
    assert [one.severity for one in found] == ([severity] if severity else [])
    for one in found:
        only(iter([one]))


@pytest.mark.parametrize(("reserve", "fires"), [(2.5, True), (4.1, False), (1.5, False)])
def test_no_spar(reserve: float, fires: bool) -> None:
    """Told where there is not plenty; below the wanted reserve the weakest place says so."""
    structure = with_case("pull-up", reserve=reserve)
    wing, *tails = structure.surfaces
    structure = replace(structure, surfaces=(replace(wing, reach=None), *tails))
    assert [one.rule for one in spar_rules.no_spar(structure)] == (["no-spar"] if fires else [])


def reaching(**more: float | None) -> StructureResult:
    reach = easy().surfaces[0].reach
    assert reach is not None
    return with_wing(reach=replace(reach, **more))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("share", "skin", "fires"), [(0.5, 3.9, True), (0.5, 4.1, False), (0.65, 2.1, False)]
)
def test_spar_reach(share: float, skin: float, fires: bool) -> None:
    """A spar runs well out (common practice, no source), unless the skin has plenty there."""
    structure = reaching(now=0.4 * share, now_share=share, blunt_reserve=skin)
    found = [*spar_rules.spar_reach(structure)]
    assert bool(found) == fires
    for one in found:
        assert numbers(one.do)[0] == 240


@pytest.mark.parametrize(
    ("inside", "share", "fires"), [(3.1, 0.6, True), (2.9, 0.6, False), (9.0, 0.98, False)]
)
def test_spar_end(inside: float, share: float, fires: bool) -> None:
    """A step of three in stiffness (common practice, no source); at the tip nothing hangs on it."""
    structure = reaching(stiffness_in=inside, stiffness_out=1.0, now_share=share)
    found = [*spar_rules.spar_end(structure)]
    assert bool(found) == fires
    for one in found:
        assert "3.1 times" in only(iter([one])).number


@pytest.mark.parametrize(
    ("place", "turned", "fires"),
    [("flat", 3.0, True), ("flat", 2.1, False), ("flat", None, False), ("on edge", 3.0, False)],
)
def test_flat_stick(place: str, turned: float | None, fires: bool) -> None:
    """A stick 10 × 3 on edge is (10/3)² = 11.1 times stiffer than flat (b h³/12, elementary)."""
    stick = StickComparison("cap", place, 11.1, 1.0, 11.1, 2.0, turned)  # type: ignore[arg-type]
    found = [*spar_rules.flat_sticks(with_wing(sticks=(stick,)))]
    assert bool(found) == fires
    for one in found:
        assert "11.1 times" in only(iter([one])).number


# --- materials ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("change", "damp", "limit"),
    [
        ({}, 0.9, "1"),
        ({}, 1.1, None),
        ({"launches": ["water"]}, 1.9, "2 (it flies from water)"),
        ({"launches": ["water"]}, 2.1, None),
        ({"allowance": {}}, 1.9, "2 (no paint is told of)"),
    ],
)
def test_damp(change: dict[str, object], damp: float, limit: str | None) -> None:
    design = design_of(sound.raw() | change)
    found = [*material_rules.damp(design, with_case("pull-up", damp=damp))]
    assert [one.limit for one in found] == ([limit] if limit else [])
    for one in found:
        assert only(iter([one])).severity == "note"


def test_damp_is_not_told_of_what_is_weak_anyway() -> None:
    structure = with_case("pull-up", reserve=1.5, low=1.1, damp=0.9)
    assert everything(structure).keys() == {"strength"}


def test_unknown_materials_are_named() -> None:
    raw = sound.raw()
    del raw["materials"]["spruce"]["like"]
    structure = replace(easy(), unknown=("wing: spar",))
    found = only(material_rules.unknown_materials(design_of(raw), airframe(), structure))
    assert (found.severity, found.number) == ("note", "spar of the wing")
    assert "like:" in found.do
    assert "bend_tests:" in found.do


def test_nobody_asks_what_tape_carries() -> None:
    raw = sound.raw()
    raw["surfaces"]["wing"]["parts"].append(
        {"name": "tape", "material": "packing-tape", "run": {"from": 0, "to": 400, "at": 0}}
    )
    structure = replace(easy(), unknown=("wing: tape",))
    assert not [*material_rules.unknown_materials(design_of(raw), airframe(), structure)]


def test_no_result_is_a_note_that_says_why() -> None:
    found = only(material_rules.refused(None, "no part has a known strength"))
    assert (found.severity, found.number) == ("note", "no part has a known strength")
    assert not [*material_rules.refused(None, "")]
    assert not [*material_rules.refused(easy(), "")]


RULES: tuple[Callable[[StructureResult], Iterator[Finding]], ...] = (
    strength_rules.weakest,
    strength_rules.landings,
    joint_rules.joints,
    joint_rules.hold_down,
    joint_rules.mounts,
    bracing_rules.bracing,
    bracing_rules.slack_wires,
    bracing_rules.booms,
    spar_rules.no_spar,
    spar_rules.spar_end,
    spar_rules.flat_sticks,
)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__)
def test_an_empty_result_makes_no_rule_fall_over(
    rule: Callable[[StructureResult], Iterator[Finding]],
) -> None:
    nothing = replace(
        easy(), surfaces=(), bracing=None, joints=(), hold_downs=(), mounts=(), booms=()
    )
    assert [*rule(nothing)] == []


def test_the_rules_about_strength_are_all_told_on_its_page() -> None:
    """Their keys as the modules write them."""
    modules = (bracing_rules, joint_rules, material_rules, spar_rules, strength_rules)
    texts = [inspect.getsource(module) for module in modules]
    assert {
        key for text in texts for key in re.findall(r'rule="([^"]+)"', text)
    } == rules.STRENGTH_RULES
