"""What the materials page and the page on measuring one's own sheet show."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from plansgen.library.mechanics import Damp, Substance
from plansgen.library.stock import stock_with
from plansgen.library.tables import Material
from plansgen.library.units import FileUnits
from plansgen.site.format import GAP, plain, significant
from plansgen.structure.elastic import Sheet, sheet_of

# Readings of the worked example; everything else on the page is worked out from them.
SHEET_WIDTH, SHEET_LENGTH, SHEET_MASS = 0.7, 0.5, 0.164  # m, m, kg
BOARD = "foam-board-5mm"
SPAN, SHORT_SPAN, WIDTH, LOAD = 0.6, 0.2, 0.06, 0.12  # m, m, m, kg
SAG, SAG_ACROSS = 0.008, 0.016  # m


@dataclass(frozen=True)
class Value:
    """A stiffness or a strength as shown; across is empty where it is the same."""

    along: str
    across: str


@dataclass(frozen=True)
class StrengthRow:
    """One substance of the materials that share it, as the materials page shows it.

    values: modulus, shear modulus, pulled, pushed, in shear. damp: left of stiffness, of strength.
    """

    name: str
    what: str
    values: tuple[Value, ...]
    spread: str
    damp: tuple[str, ...]
    source: str


def pressure(value: float) -> str:
    """A stress or a modulus to three digits, in the unit that keeps it readable."""
    if value == 0.0:
        return "none"
    unit, size = ("GPa", 1e9) if value >= 1e9 else ("MPa", 1e6) if value >= 1e6 else ("kPa", 1e3)
    return f"{value / size:.3g}{GAP}{unit}"


def strength_rows(materials: Mapping[str, Material]) -> tuple[StrengthRow, ...]:
    """Stiffness and strength of every material that has them, in the order of the table.

    Materials of the same stiffness and strength, such as balsa of several thicknesses, share a row.
    """
    shared: dict[tuple[str, Substance], list[str]] = {}
    for material in materials.values():
        for what, substance in _substances(material):
            shared.setdefault((what, substance), []).append(material.name)
    return tuple(_row(joined(names), *found) for found, names in shared.items())


def strength_sources(rows: Sequence[StrengthRow]) -> tuple[tuple[str, str], ...]:
    """Each source once, with the rows that have it."""
    shared: dict[str, list[str]] = {}
    for row in rows:
        shared.setdefault(row.source, []).append(
            f"{row.name} ({row.what})" if row.what else row.name
        )
    return tuple(("; ".join(names), source) for source, names in shared.items())


def joined(names: Sequence[str]) -> str:
    """Names in one line; what they begin with in common is told once: Balsa sheet, 2 mm, 3 mm."""
    groups: dict[str, list[str]] = {}
    for name in names:
        start, comma, end = name.rpartition(", ")
        groups.setdefault(start if comma else name, []).append(end if comma else "")
    return "; ".join(", ".join(filter(None, (start, *ends))) for start, ends in groups.items())


def _substances(material: Material) -> Iterator[tuple[str, Substance]]:
    mechanics = material.mechanics
    if mechanics is None:
        return
    if mechanics.solid is not None:
        yield "", mechanics.solid
    if mechanics.faces is not None:
        thickness = f"{significant(mechanics.faces.thickness * 1000, 2)}{GAP}mm"
        # One face or two of it is told elsewhere.
        yield f"face, {thickness}", mechanics.faces.model_copy(update={"sides": 2})
    if mechanics.core is not None:
        yield "core", mechanics.core


def _row(name: str, what: str, substance: Substance) -> StrengthRow:
    keys = ("modulus", "shear_modulus", "tension", "compression", "shear")
    return StrengthRow(
        name=name,
        what=what,
        values=tuple(_value(substance, key) for key in keys),
        spread=f"±{GAP}{plain(substance.spread * 100, 0)}{GAP}%",
        damp=_damp(substance.damp),
        source=_source(substance),
    )


def _value(substance: Substance, key: str) -> Value:
    across = getattr(substance, f"{key}_across", None)
    return Value(pressure(getattr(substance, key)), "" if across is None else pressure(across))


def _damp(damp: Damp | None) -> tuple[str, ...]:
    if damp is None:
        return ("not known",)
    if damp.stiffness == damp.strength == 1.0:
        return ("all",)
    return tuple(f"{plain(share * 100, 0)}{GAP}%" for share in (damp.stiffness, damp.strength))


def _source(substance: Substance) -> str:
    read = ", ".join(name.replace("_", " ") for name in substance.published)
    mark = f"{substance.mark}; {read} published" if read else substance.mark
    damp = substance.damp
    told = damp is not None and (damp.stiffness, damp.strength) != (1.0, 1.0)
    more = f" Damp: {damp.source} ({damp.mark})." if damp is not None and told else ""
    return f"{substance.source} ({mark}).{more}"


@dataclass(frozen=True)
class SheetExample:
    """The worked example, every value as shown."""

    sheet: str
    sheet_mass: str
    areal: str
    span: str
    width: str
    load: str
    force: str
    sag: str
    sag_across: str
    stiffness: str
    stiffness_across: str
    modulus: str
    modulus_across: str
    table_stiffness: str
    table_modulus: str
    face: str
    shear_share: str
    short_span: str
    short_share: str
    design: str


def sheet_example() -> SheetExample:
    """Weigh and bend an invented sheet of foam board, worked out as for a design file."""
    areal = SHEET_MASS / (SHEET_WIDTH * SHEET_LENGTH)
    lines = _design_lines(areal)
    own = Material.model_validate(lines, context={"units": FileUnits()})
    stock = stock_with({"my-board": own})
    mine, packaged = stock["my-board"], stock[BOARD]
    along, across = _sheet(mine), _sheet(mine, across=True)
    table = _sheet(packaged)
    return SheetExample(
        sheet=f"{plain(SHEET_WIDTH * 1000, 0)} × {plain(SHEET_LENGTH * 1000, 0)}{GAP}mm",
        sheet_mass=f"{plain(SHEET_MASS * 1000, 0)}{GAP}g",
        areal=f"{plain(areal * 1000, 0)}{GAP}g/m²",
        span=_mm(SPAN),
        width=_mm(WIDTH),
        load=f"{plain(LOAD * 1000, 0)}{GAP}g",
        force=f"{significant(LOAD * 9.80665)}{GAP}N",
        sag=_mm(SAG),
        sag_across=_mm(SAG_ACROSS),
        stiffness=_stiffness(along),
        stiffness_across=_stiffness(across),
        modulus=pressure(along.faces[0].solid.modulus),
        modulus_across=pressure(across.faces[0].solid.modulus),
        table_stiffness=_stiffness(table),
        table_modulus=pressure(table.faces[0].solid.modulus),
        face=f"{significant(along.faces[0].thickness * 1000, 2)}{GAP}mm",
        shear_share=_shear_share(table, SPAN),
        short_span=_mm(SHORT_SPAN),
        short_share=_shear_share(table, SHORT_SPAN),
        design=_as_yaml(lines),
    )


def _sheet(material: Material, *, across: bool = False) -> Sheet:
    sheet = sheet_of(material, across=across)
    if sheet is None:
        raise ValueError(f"{material.name} has no strength or no thickness")
    return sheet


def _mm(length: float) -> str:
    return f"{plain(length * 1000, 0)}{GAP}mm"


def _stiffness(sheet: Sheet) -> str:
    return f"{significant(sheet.bending)}{GAP}N{GAP}m"


def _shear_share(sheet: Sheet, span: float) -> str:
    """Share of the sag that is the core's shear: P L / 4 S beside P L³ / 48 D."""
    shear = span / (4 * (sheet.core_shear or float("inf")))
    bending = span**3 / (48 * sheet.bending)
    return f"{plain(100 * shear / (shear + bending), 0)}{GAP}%"


def _design_lines(areal: float) -> dict[str, object]:
    reading = {"span": SPAN * 1000, "width": WIDTH * 1000, "load": LOAD * 1000}
    return {
        "name": "Foam board 5 mm, my own",
        "kind": "sheet",
        "measured": True,
        "areal_density": round(areal * 1000),
        "thickness": 5,
        "like": BOARD,
        "bend_tests": [
            {"direction": "along", **reading, "sag": SAG * 1000},
            {"direction": "across", **reading, "sag": SAG_ACROSS * 1000},
        ],
    }


def _as_yaml(lines: Mapping[str, object]) -> str:
    """As an author would write it, one test a line."""
    text = ["materials:", "  my-board:"]
    for key, value in lines.items():
        if not isinstance(value, list):
            text.append(f"    {key}: {str(value).lower() if value is True else value}")
            continue
        text.append(f"    {key}:")
        for test in value:
            pairs = ", ".join(
                f"{k}: {v if isinstance(v, str) else f'{v:g}'}" for k, v in test.items()
            )
            text.append(f"      - {{{pairs}}}")
    return "\n".join(text)
