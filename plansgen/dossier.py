"""The order of the work: a design goes in, every number comes out. Read this to learn the method.

1. Geometry: place every station in the body frame, integrate areas and chords exactly
   (:mod:`plansgen.airframe`).
2. Parts: cut everything that has a shape from sheet and stick, in the flat
   (:mod:`plansgen.patterns.cutting`).
3. Masses: add up what is built, by its drawings, and bought; find the balance point and what to
   move (:mod:`plansgen.balance`).
4. Drive: battery, controllers, motors and propellers, and where they settle
   (:mod:`plansgen.drive`).
5. Flight: air, lattice, neutral point, stall, speeds, trim, control power, motions, power
   (:mod:`plansgen.flight`).
6. Structure: loads, sections as built, reserve factors, joints, wires and booms
   (:mod:`plansgen.structure`).
7. Controls: linkages, throws, mixing, hinge moments and servos, the check at the field
   (:mod:`plansgen.controls`).
8. Patterns: the proof that the parts fit, sheets and what to buy (:mod:`plansgen.patterns`).
9. Review: let the rules read the results, and write the trim-out guide (:mod:`plansgen.review`).

The dossier is data: frozen, SI, and the same after a journey through JSON. Pages, figures and other
programs read it; the outlines of the parts, which are many, go beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Annotated, Any

from pydantic import TypeAdapter

from plansgen import __version__
from plansgen.airframe.build import Airframe, build_airframe
from plansgen.alternatives import Choice, compare_choices
from plansgen.balance.buildup import NOT_DRAWN
from plansgen.balance.result import BalanceResult, work_out_balance
from plansgen.controls.result import ControlsResult, work_out_controls
from plansgen.drive.result import DriveResult, work_out_drive
from plansgen.drive.wiring import work_out_wiring
from plansgen.drive.wiring_graph import Wiring
from plansgen.flight.result import FlightResult, work_out_flight
from plansgen.library.assumed import Assumption, assumptions
from plansgen.library.design import Design
from plansgen.library.facts import facts_of
from plansgen.library.models import DesignFile, Skill, Status
from plansgen.library.tables import Fact
from plansgen.patterns.cutting import CutParts, cut_parts
from plansgen.patterns.result import PatternSet, work_out_patterns
from plansgen.patterns.summary import PatternSummary, summary_of
from plansgen.quantity import Quantity
from plansgen.review.finding import Finding
from plansgen.review.rules import review
from plansgen.review.trim_out import TrimOut, trim_out_of
from plansgen.structure.cases import top_speed_of
from plansgen.structure.result import StructureResult, work_out_structure

HEAVY = 0.250  # kg; many local rules begin here (common practice, no source)
LARGE_SPAN = 2.0  # m; common practice, no source: hard to see the size of, needs room


@dataclass(frozen=True)
class BuildTime:
    """How long the build takes, by the designer's figures."""

    steps: int
    working: Annotated[float, Quantity("s", "Working time", "build-time")]
    waiting: Annotated[float, Quantity("s", "Setting and drying time", "build-time")]


@dataclass(frozen=True)
class Dossier:
    """Everything worked out about one revision of one design.

    drive, flight, structure, controls, patterns: None when it cannot be worked out; the refusal of
    each then says why, and without flight there is no guide.
    """

    slug: str
    name: str
    revision: str
    date: str
    status: Status
    skill: Skill
    summary: str
    program: str
    fingerprint: str
    airframe: Airframe
    balance: BalanceResult
    drive: DriveResult | None
    drive_refusal: str
    wiring: Wiring | None
    choices: tuple[Choice, ...]
    flight: FlightResult | None
    flight_refusal: str
    structure: StructureResult | None
    structure_refusal: str
    controls: ControlsResult | None
    controls_refusal: str
    patterns: PatternSummary | None
    patterns_refusal: str
    trim_out: TrimOut | None
    build_time: BuildTime
    facts: tuple[Fact, ...]
    assumptions: tuple[Assumption, ...]
    findings: tuple[Finding, ...]


def work_out(design: Design) -> Dossier:
    """Work out everything about a design."""
    return work_out_all(design)[0]


def work_out_all(design: Design) -> tuple[Dossier, PatternSet | None]:
    """Work out everything about a design, its flat parts with it, which the dossier sums up."""
    file = design.file
    airframe = build_airframe(file, design.section_points)
    cut, uncut = _cut(design, airframe)
    balance = work_out_balance(file, airframe, design.materials, cut.drawn if cut else NOT_DRAWN)
    drive, unpowered = _drive(file, airframe)
    wiring = work_out_wiring(file, drive)
    flight, refusal = _flight(file, airframe, balance, drive)
    structure, unknown = _structure(design, airframe, balance, flight)
    controls, unmoved = _controls(file, airframe, balance, flight)
    patterns, unlaid = _patterns(design, airframe, cut) if cut else (None, uncut)
    summary = summary_of(patterns) if patterns else None
    dossier = Dossier(
        slug=design.slug,
        name=file.name,
        revision=file.revision,
        date=file.date.isoformat(),
        status=earned_status(design),
        skill=file.skill,
        summary=file.summary,
        program=f"plansgen {__version__}",
        fingerprint=design.fingerprint,
        airframe=airframe,
        balance=balance,
        drive=drive,
        drive_refusal=unpowered,
        wiring=wiring,
        choices=_choices(design, airframe, balance, flight),
        flight=flight,
        flight_refusal=refusal,
        structure=structure,
        structure_refusal=unknown,
        controls=controls,
        controls_refusal=unmoved,
        patterns=summary,
        patterns_refusal=unlaid,
        trim_out=trim_out_of(design, airframe, balance, flight, controls) if flight else None,
        build_time=_build_time(design),
        facts=_facts(design, airframe, balance),
        assumptions=assumptions(file),
        findings=review(
            design,
            airframe,
            balance,
            flight,
            refusal,
            structure,
            unknown,
            summary,
            controls,
            drive=drive,
            wiring=wiring,
        ),
    )
    return dossier, patterns


def _cut(design: Design, airframe: Airframe) -> tuple[CutParts | None, str]:
    """The parts in the flat, or why there are none; masses are then estimated from the planform."""
    try:
        return cut_parts(design, airframe), ""
    except ValueError as reason:
        return None, str(reason)


def _choices(
    design: Design, airframe: Airframe, balance: BalanceResult, flight: FlightResult | None
) -> tuple[Choice, ...]:
    """What else could drive it; none where it cannot be worked out."""
    if flight is None or flight.powered is None:
        return ()
    try:
        return compare_choices(design.file, airframe, balance, flight, design.materials)
    except ValueError:
        return ()


def _drive(file: DesignFile, airframe: Airframe) -> tuple[DriveResult | None, str]:
    """What the motors give, or why nobody can say."""
    try:
        drive = work_out_drive(file, airframe)
    except ValueError as reason:
        return None, str(reason)
    return drive, "" if drive else "the design does not say what drives it"


def _flight(
    file: DesignFile, airframe: Airframe, balance: BalanceResult, drive: DriveResult | None
) -> tuple[FlightResult | None, str]:
    """The flight calculation, or why there is none. Shapes may be drawn that cannot fly."""
    try:
        flight = work_out_flight(file, airframe, balance, drive)
    except ValueError as reason:
        return None, str(reason)
    return flight, "" if flight else "nothing in the design has a mass"


def _structure(
    design: Design, airframe: Airframe, balance: BalanceResult, flight: FlightResult | None
) -> tuple[StructureResult | None, str]:
    """Whether it holds, or why nobody can say."""
    if flight is None:
        return None, "loads need the flight calculation, which could not be done"
    try:
        result = work_out_structure(design.file, airframe, balance, flight, design.materials)
    except ValueError as reason:
        return None, str(reason)
    return result, "" if result else "no part that runs along a wing has a known strength"


def _controls(
    file: DesignFile, airframe: Airframe, balance: BalanceResult, flight: FlightResult | None
) -> tuple[ControlsResult | None, str]:
    """What moves it, or why nobody can say."""
    top = top_speed_of(file, airframe, balance, flight) if flight else None
    try:
        result = work_out_controls(
            file,
            airframe,
            flight,
            top_speed=top.speed if top else None,
            top_source=top.source if top else "",
        )
    except ValueError as reason:
        return None, str(reason)
    return result, "" if result else "the design has no controls"


def _patterns(design: Design, airframe: Airframe, cut: CutParts) -> tuple[PatternSet | None, str]:
    """The parts on sheets, or why there are none."""
    try:
        patterns = work_out_patterns(design, airframe, cut)
    except ValueError as reason:
        return None, str(reason)
    return patterns, "" if patterns else "the design has no parts"


def earned_status(design: Design) -> Status:
    """The status a design has earned: flown needs a flight in the log."""
    if design.file.status == "flown" and not design.log:
        return "built"
    return design.file.status


def _build_time(design: Design) -> BuildTime:
    heads = [step.head for step in design.steps]
    return BuildTime(
        steps=len(heads),
        working=60.0 * sum(head.minutes for head in heads),
        waiting=60.0 * sum(head.wait.minutes for head in heads if head.wait),
    )


def _facts(design: Design, airframe: Airframe, balance: BalanceResult) -> tuple[Fact, ...]:
    facts = set(facts_of(design))
    if any(loading.state.mass > HEAVY for loading in balance.loadings):
        facts.add("heavy")
    if airframe.reference.span >= LARGE_SPAN:
        facts.add("large_span")
    return tuple(sorted(facts))


@cache
def _adapter() -> TypeAdapter[Dossier]:
    return TypeAdapter(Dossier)


def to_json(dossier: Dossier) -> bytes:
    """Write a dossier as JSON; numbers are SI, units stand in the schema. Loses nothing."""
    return _adapter().dump_json(dossier, indent=1)


def from_json(text: bytes) -> Dossier:
    """Read a dossier back."""
    return _adapter().validate_json(text)


def json_schema() -> dict[str, Any]:
    """JSON Schema of a dossier, with the unit and method of every number."""
    return _adapter().json_schema(mode="serialization")
