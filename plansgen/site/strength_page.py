"""What the pages on strength show beyond the numbers themselves: what they mean, in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from plansgen.airframe.build import LiftingSurface
from plansgen.dossier import Dossier
from plansgen.figures.strength_cases import FAILURES, short, surface_shown
from plansgen.review.rules import STRENGTH_RULES
from plansgen.site.format import GAP, plain, show
from plansgen.structure.booms import BoomCase, BoomResult
from plansgen.structure.cases import LoadCase
from plansgen.structure.reserve import CAP
from plansgen.structure.result import StructureResult
from plansgen.structure.static_test import LoadStep, StaticTest
from plansgen.structure.strength import CaseStrength, Reach, Suggestion, SurfaceStrength, Weakest

_AT_ROOT = 1e-3  # m
_NEAR_TIP = 0.05  # of the half span
_LEAST_READ = 0.003  # m; less than this no ruler tells on a soft edge
LINK = "pull-up"  # the case whose tip deflection is told first
ENDS = {"nose": "ahead of the wing", "tail": "behind the wing"}


def reserve_text(value: float | None) -> str:
    """A reserve factor in a table: two decimals, and above the cap only that it is above."""
    if value is None:
        return "–"
    if value >= CAP:
        return f"over {CAP:.0f}"
    return plain(value, 2 if value < 10.0 else 0)


def _length(metres: float) -> str:
    return show(metres, "m").metric


def where_text(place: Weakest) -> str:
    """Where a surface gives first, and how."""
    return f"{_out(place.span)}, {FAILURES[place.kind]} of {place.part}"


def _out(span: float) -> str:
    """A distance from the root, in words."""
    return "at the root" if span < _AT_ROOT else f"{_length(span)} out"


def case_titles(structure: StructureResult) -> Mapping[str, str]:
    """What every case is called, by its key."""
    return {case.case.key: case.case.title for s in structure.surfaces for case in s.cases}


@dataclass(frozen=True)
class Link:
    """One thing that must hold.

    owner, field: the result that carries its reserve factor. anchor: where the page tells more.
    """

    name: str
    owner: Any
    field: str
    case: str
    anchor: str

    @property
    def reserve(self) -> float:
        """Its reserve factor."""
        return float(getattr(self.owner, self.field))

    @property
    def told(self) -> bool:
        """Whether it is a number, and not only above the cap."""
        return self.reserve < CAP


def _each(structure: StructureResult) -> Iterator[Link]:
    for surface in structure.surfaces:
        yield Link(surface.title, surface.worst, "reserve", surface.worst.case, "cases")
    for brace in structure.bracing.braces if structure.bracing else ():
        name = brace.part if brace.name in brace.part else f"{brace.name}, {brace.part}"
        yield Link(name, brace, "reserve", brace.worst_case, "wires")
    for joint in structure.joints:
        name = f"{joint.part}, {_out(joint.span)}"
        yield Link(name, joint, "brace_reserve", joint.case, "joints")
        if joint.glue_reserve is not None:
            yield Link(f"glue of {name}", joint, "glue_reserve", joint.case, "joints")
    for hold in structure.hold_downs:
        yield Link(f"hold-down of the {hold.title}", hold, "reserve", hold.worst, "hold-down")
    for mount in structure.mounts:
        yield Link(f"mount of the {mount.item}", mount, "reserve", "", "mounts")
    for boom in structure.booms:
        yield Link(f"{boom.title} {ENDS[boom.end]}", boom, "reserve", boom.worst, "booms")


def links_of(structure: StructureResult) -> list[Link]:
    """Everything that must hold, the weakest first."""
    return sorted(_each(structure), key=lambda link: link.reserve)


# --- sentences -----------------------------------------------------------------------------------


def reading_of(structure: StructureResult, main: SurfaceStrength) -> list[str]:
    """What it comes to, in a few sentences."""
    titles, wanted = case_titles(structure), structure.wanted
    words = [_first_words(main, titles, wanted), _weak_words(main), *_beyond_words(main, wanted)]
    weakest = links_of(structure)[0]
    if weakest.owner is not main.worst:
        case = titles.get(weakest.case, "")
        when = f" ({_lower(case)})" if case else ""
        words.append(
            f"{'But something' if main.worst.reserve >= wanted else 'Something'} else gives "
            f"first: the {weakest.name}, with a reserve factor of "
            f"{reserve_text(weakest.reserve)}{when}."
        )
    return words


def _first_words(main: SurfaceStrength, titles: Mapping[str, str], wanted: float) -> str:
    worst = main.worst
    case, reserve = _lower(titles[worst.case]), reserve_text(worst.reserve)
    where = f"Its weakest place is {where_text(worst)}."
    if worst.reserve < 1.0:
        share = plain(worst.reserve * 100, 0)
        return f"The {main.title} breaks at {share} % of the load in this case: {case}. {where}"
    if worst.reserve < wanted:
        return (
            f"The {main.title} holds, but with less in hand than the design asks for: {reserve} "
            f"where {plain(wanted, 1)} is wanted, in this case: {case}. {where}"
        )
    return (
        f"The {main.title} itself holds: in the hardest case of service ({case}) it takes "
        f"{reserve} times the load, where {plain(wanted, 1)} is wanted. {where}"
    )


def _beyond_words(main: SurfaceStrength, wanted: float) -> Iterator[str]:
    """What happens beyond what the design asks for: too fast a pull, and crashes."""
    for case in main.cases:
        reserve = case.weakest.reserve
        if case.case.in_service or reserve >= wanted:
            continue
        what, found = case.case.title, reserve_text(reserve)
        if case.case.key == "full-pull":
            yield (
                f"Beyond that: {_lower(what)} at {speed_text(case.case)} leaves {found}. "
                "When it is fast, be gentle with the elevator."
            )
        else:
            yield f"{what}: {found}{', so it may break' if reserve < 1.0 else ''}."


def _weak_words(main: SurfaceStrength) -> str:
    cases = [case for case in main.cases if case.case.in_service] or list(main.cases)
    low = min(case.weakest.low for case in cases)
    wet = [case.weakest.damp for case in cases if case.weakest.damp is not None]
    damp = f", and damp {reserve_text(min(wet))}" if wet else ""
    then = "" if low >= 1.0 else " Bend a strip of your own sheet before you trust it."
    return f"Built of a weak sheet of the same stuff it would be {reserve_text(low)}{damp}.{then}"


def _lower(title: str) -> str:
    return title[:1].lower() + title[1:]


def reach_words(reach: Reach | None) -> str:
    """How far the spar must go."""
    if reach is None:
        return "There is no spar of known strength in it, so there is nothing to say of its reach."
    wanted, now = plain(reach.wanted, 1), f"{_length(reach.now)} ({_percent(reach.now_share)})"
    if reach.least is None or reach.least_share is None:
        return (
            f"It reaches {now}. No reach gives a reserve factor of {wanted}: the trouble lies "
            "inboard of the spar's end, so look at the weakest place first."
        )
    if reach.least <= 0.0:
        return (
            f"It reaches {now}. For a reserve factor of {wanted} the skin alone is enough: by "
            "these numbers the spar is there for joints, stiffness and knocks."
        )
    least = f"{_length(reach.least)} ({_percent(reach.least_share)})"
    if reach.least <= reach.now:
        return f"It reaches {now}; a reserve factor of {wanted} needs {least}."
    return f"It reaches {now} and is too short: a reserve factor of {wanted} needs {least}."


def end_words(reach: Reach, tip: float) -> str:
    """What happens at the spar's end."""
    if not end_matters(reach, tip):
        return (
            f"The spar ends {_length(tip - reach.now)} from the tip, where there is hardly any "
            "bending left; how it ends is no matter."
        )
    left = reach.stiffness_out / reach.stiffness_in
    words = (
        f"At the spar's end the bending stiffness falls from "
        f"{show(reach.stiffness_in, 'N m²').metric} to {show(reach.stiffness_out, 'N m²').metric}, "
        f"{_percent(left)} of it, and the skin alone carries the "
        f"{show(reach.bending_there, 'N m').metric} that are left: reserve factor "
        f"{reserve_text(reach.skin_reserve)}, or {reserve_text(reach.blunt_reserve)} where the "
        "spar is cut off square."
    )
    return f"{words} Taper its last hand's breadth to nothing, so that the skin takes over slowly."


def end_matters(reach: Reach, tip: float) -> bool:
    """Whether the spar ends far enough from the tip for its end to be of interest."""
    return tip - reach.now >= _NEAR_TIP * tip


def _percent(share: float) -> str:
    return show(share, "%").metric


def boom_place(case: BoomCase) -> str:
    """Where a body gives first, and how."""
    if case.worst is None:
        return "–"
    return f"{FAILURES[case.worst.kind]} of {case.worst.part}"


@dataclass(frozen=True)
class BoomRow:
    """One end of a body in its worst case; moves: that in which its end moves most."""

    boom: BoomResult
    worst: BoomCase
    moves: BoomCase


def boom_rows(structure: StructureResult) -> list[BoomRow]:
    """Every body, its weaker end first."""
    rows = []
    for boom in structure.booms:
        worst = next(case for case in boom.cases if case.case == boom.worst)
        moves = max(boom.cases, key=lambda case: abs(case.up) + abs(case.side))
        rows.append(BoomRow(boom, worst, moves))
    return rows


def advice_of(structure: StructureResult) -> list[Suggestion]:
    """Every change that was solved for, those of the surfaces first."""
    own = [suggestion for s in structure.surfaces for suggestion in s.suggestions]
    return [*own, *structure.suggestions]


def gaps_of(structure: StructureResult) -> list[str]:
    """What was left out, filled in or is not known, in sentences."""
    words = list(structure.notes)
    words += [f"Strength not known, left out: {name}." for name in structure.unknown]
    told = set(structure.unknown)
    for surface in structure.surfaces:
        start = f"{surface.title[:1].upper()}{surface.title[1:]}: "
        words += [f"{start}{text}." for text in surface.assumed]
        rest = [part for part in surface.ignored if f"{surface.title}: {part}" not in told]
        if rest:
            words.append(f"{start}not counted: {', '.join(rest)}.")
    return words


# --- the pages -----------------------------------------------------------------------------------


def strength_context(dossier: Dossier) -> Mapping[str, Any]:
    """What the templates on strength and on the bench test show."""
    structure = dossier.structure
    if structure is None or not structure.surfaces:
        return {"structure": None, "structure_refusal": dossier.structure_refusal}
    main = surface_shown(dossier.airframe, structure.surfaces)
    tip = dossier.airframe.surface(main.surface).stations[-1].span
    links = links_of(structure)
    return {
        "structure": structure,
        "main": main,
        "links": links,
        "weakest": links[0],
        "weakest_is_main": links[0].owner is main.worst,
        "weakest_name": short(links[0].name),
        "strength_findings": [f for f in dossier.findings if f.rule in STRENGTH_RULES],
        "half_words": lambda strength: half_words(dossier.airframe.surface(strength.surface)),
        "strength_reading": reading_of(structure, main),
        "case_titles": case_titles(structure),
        "pull_up": _case(main.cases, LINK),
        "other_surfaces": [s for s in structure.surfaces if s is not main],
        "reach_words": reach_words(main.reach),
        "end_words": end_words(main.reach, tip) if main.reach else "",
        "end_matters": bool(main.reach and end_matters(main.reach, tip)),
        "speed_text": speed_text,
        "boom_rows": boom_rows(structure),
        "advice": advice_of(structure),
        "gaps": gaps_of(structure),
        "reserve_text": reserve_text,
        "is_capped": lambda value: value >= CAP,
        "where_text": where_text,
        "boom_place": boom_place,
        "boom_ends": ENDS,
        "root_bending": root_bending,
        **_test_context(structure.static_test),
    }


def half_words(surface: LiftingSurface) -> str:
    """What of a surface the numbers are for, after its title."""
    if not surface.mirrored:
        return ""
    return ", one half" if surface.stations[0].y < _AT_ROOT else ", one of the two"


def root_bending(case: CaseStrength) -> str:
    """Bending at the root, in a table."""
    return show(case.bending[0], "N m").metric


def speed_text(case: LoadCase) -> str:
    """Speed of a case, in a table; a dash at rest."""
    return f"{plain(case.speed, 1)}{GAP}m/s" if case.speed else "–"


def share_text(step: LoadStep) -> str:
    """How much of the load a step puts on."""
    return f"{plain(step.share * 100, 0)}{GAP}%"


def bag_texts(step: LoadStep) -> list[str]:
    """The bags of one step, from the root outwards."""
    return [show(mass, "kg").metric for mass in step.bags]


def _test_context(test: StaticTest | None) -> Mapping[str, Any]:
    if test is None:
        return {"test": None}
    wide = f"{plain(2000 * test.support, 0)}{GAP}mm" if test.support > 0.0 else "as your hand"
    down = test.steps[-1].deflection
    return {
        "test": test,
        "bag_texts": bag_texts,
        "share_text": share_text,
        "support_width": wide,
        "hardly_bends": down is not None and down < _LEAST_READ,
    }


def _case(cases: Sequence[CaseStrength], key: str) -> CaseStrength | None:
    return next((case for case in cases if case.case.key == key), None)
