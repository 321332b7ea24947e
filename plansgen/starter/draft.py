"""Draft a design that balances: write its file, work it out, move the nose, until it fits.

1. Proportion the layout, and set a nose of middling length.
2. Where the trade has no balance rule, put the target ahead of the neutral point of that model.
3. Find the nose that balances it best; the neutral point of the model with that nose is final.
4. Slide the battery, and add ballast where the bay does not reach.
5. Work out the stall; what nobody can throw fast enough is launched from a bungee.

What is worked out is the text itself, read back the way a design file is read, with the package's
own balance calculation.
"""

from __future__ import annotations

import datetime
import math
import textwrap
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import yaml
from jinja2 import Environment, PackageLoader, StrictUndefined

from plansgen.airframe.build import Airframe, build_airframe
from plansgen.airframe.field import field_air
from plansgen.balance.buildup import NOT_DRAWN
from plansgen.balance.centre import MassState
from plansgen.balance.result import BalanceResult, work_out_balance
from plansgen.flight.lattice import Lattice
from plansgen.flight.pitching import PitchModel
from plansgen.flight.stall import work_out_stall
from plansgen.library.models import DesignFile, Layout
from plansgen.library.source import parse_yaml
from plansgen.library.tables import materials
from plansgen.library.units import FileUnits
from plansgen.library.validate import validated
from plansgen.patterns.cutting import cut_file
from plansgen.problems import BadInput, Problem, nearest_name
from plansgen.review.speed_rules import THROW_HARD
from plansgen.starter.entries import Fit, Sheet
from plansgen.starter.layouts import Outline, outline_of
from plansgen.starter.parts import Model
from plansgen.starter.targets import MARGINS, target_of

LEAST_SPAN, MOST_SPAN = 0.3, 4.0  # m; beyond these the proportions and estimates mean nothing
THICKEST = 0.12  # sheet over mean chord; estimate, thicker is a plank and no wing
HEAVIEST = 25.0  # kg; above it many rules no longer see a model (common practice, no source)
_Dumper: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)  # the same text, ten times as fast
_TRIES = 6  # of battery and ballast, each with rounded values


@dataclass(frozen=True)
class Answers:
    """What a builder says about a new design. span: [m]. material: id of a packaged sheet."""

    name: str
    slug: str
    span: float
    layout: Layout
    material: str
    powered: bool
    designer: str
    date: datetime.date


@dataclass(frozen=True)
class Draft:
    """A started design: the text of its file, and what that works out to."""

    text: str
    model: Model
    file: DesignFile
    airframe: Airframe
    balance: BalanceResult


def sheet_materials() -> tuple[str, ...]:
    """Ids of the packaged sheets a model can be built from, sorted."""
    return tuple(sorted(key for key, item in materials().items() if item.kind == "sheet"))


def draft_design(answers: Answers) -> Draft:
    """Draft a design that balances on its target.

    Raises:
        BadInput: the span is out of range, there is no such sheet, or it is too thick.
    """
    sheet = _sheet(answers)
    outline = outline_of(answers.layout, span=answers.span * 1000)
    if sheet.thickness > THICKEST * outline.chord:
        least = answers.span * sheet.thickness / (THICKEST * outline.chord)
        raise _bad(
            "material",
            f"{sheet.material} is {sheet.thickness:g} mm thick, too thick for wings of "
            f"{outline.chord:.0f} mm chord",
            f"a thinner sheet, or a span from {least:.2f} m",
        )
    placed = _with_nose(answers, outline, sheet)
    lattice = Lattice(placed.airframe.surfaces)  # nothing later moves a surface
    draft = _settled(answers, _aimed(placed, lattice))
    _refuse_heavy(draft)
    return _launched(answers, draft, lattice)


def _refuse_heavy(draft: Draft) -> None:
    mass = _state(draft).mass
    if mass > HEAVIEST:
        raise _bad(
            "material",
            f"the model would weigh {mass:.1f} kg",
            f"a lighter sheet or a smaller span, for at most {HEAVIEST:g} kg",
        )


def _launched(answers: Answers, draft: Draft, lattice: Lattice) -> Draft:
    """The draft with the launch that its stall speed asks for."""
    state = _state(draft)
    pitching = PitchModel(draft.airframe, lattice=lattice, point=(state.x, 0.0, state.z))
    stall = work_out_stall(pitching, mass=state.mass, air=field_air(draft.file), banks=())
    if stall.speed <= THROW_HARD:
        return draft
    return _worked_out(answers, replace(draft.model, stall=stall.speed))


def _bad(field: str, wrong: str, allowed: str, nearest: str = "") -> BadInput:
    return BadInput([Problem("new design", 0, field, wrong, allowed, nearest)])


def _sheet(answers: Answers) -> Sheet:
    if not LEAST_SPAN <= answers.span <= MOST_SPAN:
        allowed = f"{LEAST_SPAN:g} to {MOST_SPAN:g} m"
        raise _bad("span", f"{answers.span:g} m is out of range", allowed)
    material = materials().get(answers.material)
    if material is None or material.kind != "sheet" or material.thickness is None:
        known = sheet_materials()
        raise _bad(
            "material",
            f'there is no sheet "{answers.material[:40]}"',
            "a sheet of the materials page, such as foam-board-5mm",
            nearest_name(answers.material, known),
        )
    return Sheet(answers.material, material.thickness * 1000)


# --- text and calculation --------------------------------------------------------------------


def flow(value: Any) -> str:
    """A value as one line of YAML."""
    text = yaml.dump(
        value,
        Dumper=_Dumper,
        default_flow_style=True,
        sort_keys=False,
        allow_unicode=True,
        width=10**6,
    )
    return str(text).removesuffix("...\n").strip()


@cache
def environment() -> Environment:
    """The packaged templates of new libraries and designs; plain text, so nothing is escaped."""
    made = Environment(
        loader=PackageLoader("plansgen.starter"),
        autoescape=False,  # YAML and Markdown, never HTML
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    made.filters["y"] = flow
    made.filters["wrapped"] = lambda text: "\n    ".join(textwrap.wrap(text, 94))
    return made


def _text(answers: Answers, model: Model) -> str:
    drive = "electric model" if answers.powered else "glider"
    stock = materials()[answers.material].name
    summary = (
        f"A {answers.layout} {drive} of {answers.span:.2f} m span, to be built from "
        f"{stock[0].lower()}{stock[1:]}. A sketch from textbook proportions, not yet built."
    )
    simple = answers.layout in ("conventional", "biplane")
    return (
        environment()
        .get_template("design.yaml.j2")
        .render(
            answers=answers,
            model=model,
            span=round(answers.span * 1000),
            summary="\n  ".join(textwrap.wrap(summary, 96)),
            skill="some builds" if simple else "practised",
        )
    )


def _worked_out(answers: Answers, model: Model) -> Draft:
    text = _text(answers, model)
    source = parse_yaml(text, shown="design.yaml")
    file = validated(DesignFile, source, units=FileUnits())
    airframe = build_airframe(file, {})
    try:
        drawn = cut_file(file, airframe, materials()).drawn
    except ValueError:
        drawn = NOT_DRAWN  # the balance then estimates, here as in the dossier
    balance = work_out_balance(file, airframe, materials(), drawn)
    return Draft(text, model, file, airframe, balance)


def _offset(draft: Draft) -> float:
    """How far aft of its target it balances. [m]"""
    ready = draft.balance.ready
    if ready is None or ready.remedy is None:
        raise AssertionError("a started design has masses and a target")
    return ready.remedy.offset


# --- balance ---------------------------------------------------------------------------------


def _with_nose(answers: Answers, outline: Outline, sheet: Sheet) -> Draft:
    """The model with the nose that balances it best."""
    shortest, longest = max(30, outline.nose[0]), max(31, outline.nose[1])
    model = Model(outline, sheet, answers.powered, Fit((shortest + longest) // 2))
    first = _worked_out(answers, model)
    model = replace(model, mass=_state(first).mass)
    if answers.layout in MARGINS:
        first = _worked_out(answers, model)
        model = _aimed(first, Lattice(first.airframe.surfaces))
    nose = _nose_length(answers, model, shortest, longest)
    return _worked_out(answers, replace(model, fit=Fit(nose)))


def _aimed(draft: Draft, lattice: Lattice) -> Model:
    """The model with its target, if the trade has no rule for its layout.

    The neutral point moves a little with the length of the body, not with where it balances.
    """
    state = _state(draft)
    point = (state.x, 0.0, state.z)
    return replace(draft.model, target=target_of(draft.airframe, lattice=lattice, point=point))


def _state(draft: Draft) -> MassState:
    ready = draft.balance.ready
    if ready is None:
        raise AssertionError("a started design has masses")
    return ready.state


def _nose_length(answers: Answers, model: Model, shortest: int, longest: int) -> int:
    """The nose, in whole millimetres, that comes nearest to balance with the battery amidships.

    A longer nose carries motor and battery further ahead of the wing, so the offset falls as the
    nose grows and halving the interval finds the change of sign.
    """

    def tail_heavy(nose: int) -> bool:
        return _offset(_worked_out(answers, replace(model, fit=Fit(nose)))) > 0

    if tail_heavy(longest):
        return longest
    while longest - shortest > 1:
        middle = (shortest + longest) // 2
        if tail_heavy(middle):
            shortest = middle
        else:
            longest = middle
    return shortest


def _settled(answers: Answers, model: Model) -> Draft:
    """Slide the battery, then add ballast if the bay does not reach, as the advice says."""
    draft = _worked_out(answers, model)
    for _ in range(_TRIES):
        ready = draft.balance.ready
        remedy = ready.remedy if ready else None
        if remedy is None or remedy.battery_x is None:
            break
        fit = replace(model.fit, battery=_aft(remedy.battery_x * 1000))
        if remedy.ballast is not None:
            before = fit.ballast[0] if fit.ballast else 0.0
            # Rounded up: the battery takes back what is too much, but not what is missing.
            mass = math.ceil(2000 * remedy.ballast.mass - 1e-6) / 2 + before
            if mass > 0:
                fit = replace(fit, ballast=(mass, round(remedy.ballast.at_x * 1000)))
        if fit == model.fit:
            break
        model = replace(model, fit=fit)
        draft = _worked_out(answers, model)
    return draft


def _aft(millimetres: float) -> float:
    """Round aft to a tenth: the trade's rule begins at its own forward limit."""
    return -(-millimetres * 10 // 1) / 10
