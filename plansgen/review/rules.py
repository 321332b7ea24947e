"""The list of rules, and the one function that runs them."""

from __future__ import annotations

from collections.abc import Iterator

from plansgen.airframe.build import Airframe
from plansgen.balance.result import BalanceResult
from plansgen.controls.result import ControlsResult
from plansgen.drive.result import DriveResult
from plansgen.drive.wiring_graph import Wiring
from plansgen.flight.result import FlightResult
from plansgen.library.design import Design
from plansgen.patterns.summary import PatternSummary
from plansgen.review import (
    balance_rules,
    bracing_rules,
    control_rules,
    flight_rules,
    honesty_rules,
    joint_rules,
    material_rules,
    motion_rules,
    pattern_rules,
    power_rules,
    spar_rules,
    speed_rules,
    strength_rules,
    tail_rules,
    wiring_rules,
)
from plansgen.review.finding import SEVERITIES, Finding
from plansgen.structure.result import StructureResult

STRENGTH_RULES = frozenset(
    {
        *("strength", "pulls-more-than-it-holds", "landing-breaks"),
        *("joint", "hold-down", "hold-down-stiff", "motor-mount"),
        *("bracing", "slack-wires", "soft-boom", "weak-body"),
        *("soft-wing", "no-spar", "spar-reach", "spar-end", "flat-stick"),
        *("strength-unknown", "strength-of-material", "damp"),
    }
)
"""Rules about whether it holds; what they find is told on the page on strength too."""

CONTROL_RULES = frozenset(
    {
        *("linkage-over-centre", "linkage-travel", "linkage-angle", "servo-travel"),
        *("reverse-differential", "servo-torque", "throw-small", "mixing-clips"),
        *("flutter-slop", "flutter-unbalanced", "flutter-slender"),
    }
)
"""Rules about what moves the model; what they find is told on the page on controls too."""


def review(
    design: Design,
    airframe: Airframe,
    balance: BalanceResult,
    flight: FlightResult | None,
    refusal: str,
    structure: StructureResult | None = None,
    structure_refusal: str = "",
    patterns: PatternSummary | None = None,
    controls: ControlsResult | None = None,
    *,
    drive: DriveResult | None = None,
    wiring: Wiring | None = None,
) -> tuple[Finding, ...]:
    """Run every rule; findings come back gravest first, in rule order within a severity.

    A rule is a function that yields findings. To add one, write it in a module of its subject and
    name it here with what it reads. refusal, structure_refusal: why there is no such result.
    """
    found = [
        *balance_rules.no_masses(balance),
        *balance_rules.no_target(airframe, balance),
        *balance_rules.target_within_limits(balance),
        *balance_rules.limits(balance),
        *balance_rules.bay_reach(balance),
        *balance_rules.target_against_rule(balance),
        *balance_rules.lateral(airframe, balance),
        *flight_rules.refused(balance, refusal),
        *(_of_flight(design, airframe, balance, flight) if flight else ()),
        *(material_rules.refused(structure, structure_refusal) if flight else ()),
        *(_of_structure(design, airframe, flight, structure) if flight and structure else ()),
        *(power_rules.power(drive, flight) if drive else ()),
        *(wiring_rules.wiring(wiring) if wiring else ()),
        *(_of_controls(controls) if controls else ()),
        *(_of_patterns(patterns) if patterns else ()),
        *honesty_rules.flown_needs_log(design),
        *honesty_rules.layout_as_declared(design, airframe),
        *honesty_rules.mostly_guessed(balance),
        *honesty_rules.no_steps(design),
    ]
    return tuple(sorted(found, key=lambda finding: SEVERITIES.index(finding.severity)))


def _of_flight(
    design: Design, airframe: Airframe, balance: BalanceResult, flight: FlightResult
) -> Iterator[Finding]:
    yield from flight_rules.static_margin(airframe, balance, flight)
    yield from flight_rules.balance_band(airframe, balance, flight)
    yield from flight_rules.target_in_band(airframe, balance, flight)
    yield from flight_rules.rule_of_thumb(balance, flight)
    yield from tail_rules.elevator(airframe, balance, flight)
    yield from tail_rules.horizontal(design, airframe, flight)
    yield from tail_rules.vertical(design, airframe)
    yield from speed_rules.launch(design, balance, flight)
    yield from speed_rules.level_flight(balance, flight)
    yield from speed_rules.tip_stall(airframe, flight)
    yield from speed_rules.tail_stall(flight)
    yield from speed_rules.glide_speed(flight)
    yield from speed_rules.wing_loading(design, balance)
    yield from speed_rules.outside_data(flight)
    yield from motion_rules.ailerons(flight)
    yield from motion_rules.rudder(flight)
    yield from motion_rules.steering(airframe, flight)
    yield from motion_rules.no_pitch_control(airframe, flight)
    yield from motion_rules.trim_at_cruise(design.file, flight)
    yield from motion_rules.pitch_motions(flight)
    yield from motion_rules.spiral(flight)
    yield from motion_rules.dutch_roll(airframe, flight)
    yield from motion_rules.rolling(flight)


def _of_structure(
    design: Design, airframe: Airframe, flight: FlightResult, structure: StructureResult
) -> Iterator[Finding]:
    yield from strength_rules.weakest(structure)
    yield from strength_rules.full_pull(structure, flight)
    yield from joint_rules.joints(structure)
    yield from bracing_rules.bracing(structure)
    yield from bracing_rules.slack_wires(structure)
    yield from bracing_rules.booms(structure)
    yield from joint_rules.hold_down(structure)
    yield from joint_rules.mounts(structure)
    yield from spar_rules.deflection(airframe, structure)
    yield from spar_rules.no_spar(structure)
    yield from spar_rules.spar_reach(structure)
    yield from spar_rules.spar_end(structure)
    yield from spar_rules.flat_sticks(structure)
    yield from strength_rules.landings(structure)
    yield from material_rules.damp(design, structure)
    yield from material_rules.unknown_materials(design, airframe, structure)


def _of_controls(controls: ControlsResult) -> Iterator[Finding]:
    yield from control_rules.linkages(controls)
    yield from control_rules.servos(controls)
    yield from control_rules.throws(controls)
    yield from control_rules.fineness(controls)
    yield from control_rules.differential(controls)
    yield from control_rules.mixing(controls)
    yield from control_rules.flutter(controls)


def _of_patterns(patterns: PatternSummary) -> Iterator[Finding]:
    yield from pattern_rules.fit(patterns)
    yield from pattern_rules.oversize(patterns)
    yield from pattern_rules.unstocked(patterns)
    yield from pattern_rules.not_drawn(patterns)
    yield from pattern_rules.misplaced(patterns)
    yield from pattern_rules.strangers(patterns)
