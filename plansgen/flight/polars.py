"""What a section does at a model's Reynolds number: lift slope, greatest lift, profile drag.

The values come from ``plansgen/data/section_polars.yaml``, a handful of families with sources and
spreads. Between Reynolds numbers they are interpolated in the logarithm; outside the table they are
held, except least drag, which follows skin friction. A section between two families is mixed from
them by camber and by thickness. What had to be held or mixed far from the data says so.

Zero-lift angle and moment do not come from here but from thin-airfoil theory on the real mean line
(``flight.thin_airfoil``).
"""

from __future__ import annotations

import importlib.resources
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise
from typing import Annotated, Any, Self, get_args

import numpy as np
import yaml
from numpy.typing import NDArray
from pydantic import Field, model_validator

from plansgen.airframe.planform import StationPoint
from plansgen.flight.mean_line import mean_line_of
from plansgen.flight.thin_airfoil import LIFT_SLOPE
from plansgen.library.tables import Mark, TableModel, Words
from plansgen.quantity import Quantity

Array = NDArray[np.float64]

COLUMNS = ("lift_slope", "lift_max", "lift_min", "drag_min", "drag_lift", "drag_growth")
_SLOPE, _MAX, _MIN, _DRAG, _DRAG_LIFT, _GROWTH = range(len(COLUMNS))
_THIN, _THICK = 0.03, 0.09  # of the chord: a plate up to here, a round-nosed section from there
_FATTEST = 0.15  # thicker sections than the table's stall earlier and drag more
_MOST_CAMBER = 0.05
_SQUARE_EDGES = 0.15  # drag of a plate's square edges over its thickness beyond the table's plate


class Column(TableModel):
    """One kind of value against Reynolds number, with its spread and source."""

    values: Annotated[tuple[float, ...], Field(min_length=2)]
    spread: Annotated[float, Field(ge=0, le=1)]
    mark: Mark
    source: Words


class Family(TableModel):
    """One section that values are known (or guessed) for."""

    title: Words
    camber: Annotated[float, Field(ge=0)]
    thickness: Annotated[float, Field(gt=0)]
    lift_slope: Column
    lift_max: Column
    lift_min: Column
    drag_min: Column
    drag_lift: Column
    drag_growth: Column

    @property
    def columns(self) -> tuple[Column, ...]:
        """The columns in the order of ``COLUMNS``."""
        return tuple(getattr(self, name) for name in COLUMNS)


class _PolarTable(TableModel):
    reynolds: Annotated[tuple[float, ...], Field(min_length=2)]
    families: dict[str, Family]

    @model_validator(mode="after")
    def _complete(self) -> Self:
        if any(b <= a for a, b in pairwise(self.reynolds)):
            raise ValueError("reynolds must rise")
        for name, family in self.families.items():
            if any(len(column.values) != len(self.reynolds) for column in family.columns):
                raise ValueError(f"{name}: one value for each Reynolds number")
        return self


@cache
def _table() -> _PolarTable:
    text = importlib.resources.files("plansgen.data").joinpath("section_polars.yaml")
    return _PolarTable.model_validate(yaml.safe_load(text.read_text("utf-8")))


def families() -> Mapping[str, Family]:
    """The families of the packaged table by key."""
    return _table().families


# --- skin friction ---------------------------------------------------------------------------


def laminar_friction(reynolds: float) -> float:
    """Friction coefficient of one side of a plate, laminar: 1.328/√Re (H. Blasius, 1908)."""
    return 1.328 / math.sqrt(reynolds)


def turbulent_friction(reynolds: float) -> float:
    """Friction coefficient of one side of a plate, turbulent: 0.455/(log₁₀ Re)^2.58.

    Source: Prandtl and Schlichting, in H. Schlichting, *Boundary-Layer Theory*. Held at Re 1000.
    """
    return 0.455 / math.pow(math.log10(max(reynolds, 1e3)), 2.58)


def friction(reynolds: float) -> float:
    """Friction coefficient of one side of a smooth plate with its laminar part.

    Turbulent less 1700/Re for the laminar run (Schlichting, *Boundary-Layer Theory*), which below
    about Re 5e5 falls under the laminar value and further below zero: never less than laminar.

    Raises:
        ValueError: the Reynolds number is not above 0.
    """
    if not reynolds > 0.0:
        raise ValueError(f"the Reynolds number is {reynolds:g}; it must be above 0")
    mixed = turbulent_friction(reynolds) - 1700.0 / reynolds
    return max(mixed, laminar_friction(reynolds))


# --- one section -----------------------------------------------------------------------------


@dataclass(frozen=True)
class SectionTable:
    """A section's values against Reynolds number, mixed from families.

    values: (columns, Reynolds numbers). spreads: share of each column, one standard deviation.
    families: what it was mixed from. mark: the weakest of them. strayed: camber or thickness lie
    beyond the data.
    """

    values: Array
    spreads: Array
    families: tuple[str, ...]
    mark: Mark
    strayed: bool


@dataclass(frozen=True)
class SectionPolar:
    """A section at one Reynolds number. Spreads are shares, one standard deviation."""

    reynolds: Annotated[float, Quantity("1", "Reynolds number", "flight-section-polar")]
    lift_slope: Annotated[float, Quantity("1/rad", "Lift slope", "flight-section-polar")]
    lift_max: Annotated[float, Quantity("1", "Greatest c_l", "flight-section-polar")]
    lift_max_spread: Annotated[
        float, Quantity("1", "Spread of the greatest c_l", "flight-section-polar", "%")
    ]
    lift_min: Annotated[float, Quantity("1", "Greatest c_l inverted", "flight-section-polar")]
    drag_min: Annotated[float, Quantity("1", "Least profile drag, c_d", "flight-section-polar")]
    drag_spread: Annotated[
        float, Quantity("1", "Spread of the profile drag", "flight-section-polar", "%")
    ]
    drag_lift: Annotated[float, Quantity("1", "c_l at least drag", "flight-section-polar")]
    drag_growth: Annotated[
        float, Quantity("1", "Growth of c_d with c_l squared", "flight-section-polar")
    ]
    families: tuple[str, ...]
    mark: Mark
    outside_data: bool

    def drag(self, lift: float) -> float:
        """Profile drag coefficient at a lift coefficient below the stall."""
        return self.drag_min + self.drag_growth * (lift - self.drag_lift) ** 2


def _weakest(marks: Sequence[Mark]) -> Mark:
    order: tuple[Mark, ...] = get_args(Mark)
    return max(marks, key=order.index)


def camber_of(station: StationPoint) -> float:
    """Greatest height of a station's mean line over its chord line, in chords; signed."""
    x, z = mean_line_of(station).T
    height = z - np.interp(x, x[[0, -1]], z[[0, -1]])
    return float(height[np.abs(height).argmax()])


def _shares(station: StationPoint, camber: float) -> dict[str, float]:
    """How much of each family a section is, by its camber (not below 0) and thickness."""
    if station.section == "folded sheet":
        return {"folded-sheet": 1.0}
    bent = min(camber / 0.04, 1.0)
    plate = {"flat-plate": 1.0 - bent, "cambered-plate": bent}
    if station.section in ("flat plate", "cambered plate"):
        return plate
    steps = min(camber / 0.02, 2.0)
    round_nosed = {
        "naca-symmetric": max(0.0, 1.0 - steps),
        "naca-camber-2": 1.0 - abs(steps - 1.0),
        "naca-camber-4": max(0.0, steps - 1.0),
    }
    thick = min(max((station.thickness - _THIN) / (_THICK - _THIN), 0.0), 1.0)
    mixed = {key: share * (1.0 - thick) for key, share in plate.items()}
    return mixed | {key: share * thick for key, share in round_nosed.items()}


@lru_cache(maxsize=1024)
def section_table(station: StationPoint) -> SectionTable:
    """The table of a station's section.

    A section cambered downwards is taken as its mirror image. A plate thicker than the table's has
    square edges and pays for them (estimate).
    """
    camber = camber_of(station)
    shares = {k: s for k, s in _shares(station, abs(camber)).items() if s > 1e-9}
    known = families()
    stack = {key: np.array([c.values for c in known[key].columns]) for key in shares}
    values = np.sum([stack[key] * share for key, share in shares.items()], axis=0)
    spreads = np.sum(
        [np.array([c.spread for c in known[k].columns]) * s for k, s in shares.items()], axis=0
    )
    if station.section in ("flat plate", "cambered plate"):
        values[_DRAG] += _SQUARE_EDGES * max(0.0, station.thickness - 0.02)
    if camber < 0.0:
        values[[_MAX, _MIN]] = -values[[_MIN, _MAX]]
        values[_DRAG_LIFT] *= -1.0
    values.setflags(write=False)
    spreads.setflags(write=False)
    return SectionTable(
        values=values,
        spreads=spreads,
        families=tuple(sorted(shares)),
        mark=_weakest([c.mark for key in sorted(shares) for c in known[key].columns]),
        strayed=abs(camber) > _MOST_CAMBER + 0.01 or station.thickness > _FATTEST,
    )


def _read(values: Array, reynolds: Array) -> Array:
    """Values (strips, columns, numbers) at Reynolds numbers (..., strips), to (..., strips, col).

    Linear in log Re, held outside; least drag then goes with the skin friction of both sides.
    """
    grid = np.log(np.array(_table().reynolds))
    at = np.log(np.maximum(reynolds, 1.0))
    held = np.clip(at, grid[0], grid[-1])
    index = np.clip(np.searchsorted(grid, held, side="right") - 1, 0, len(grid) - 2)
    part = ((held - grid[index]) / (grid[index + 1] - grid[index]))[..., None]
    strip = np.arange(values.shape[0])
    low, high = values[strip, :, index], values[strip, :, index + 1]
    found = np.asarray(low + (high - low) * part)
    found[..., _DRAG] *= np.where(
        at < grid[0],
        np.exp((grid[0] - at) / 2),  # Blasius
        np.exp(-0.15 * np.maximum(at - grid[-1], 0.0)),  # about as Prandtl and Schlichting
    )
    return found


def outside_data(reynolds: float | Array) -> Any:
    """Whether a Reynolds number lies outside the table."""
    numbers = _table().reynolds
    return (np.asarray(reynolds) < numbers[0]) | (np.asarray(reynolds) > numbers[-1])


def section_polar(station: StationPoint, *, reynolds: float) -> SectionPolar:
    """A station's section at one Reynolds number.

    Raises:
        ValueError: the Reynolds number is not above 0.
    """
    if not reynolds > 0.0:
        raise ValueError(f"the Reynolds number is {reynolds:g}; it must be above 0")
    table = section_table(station)
    row = _read(table.values[None], np.array([reynolds]))[0]
    return SectionPolar(
        reynolds=reynolds,
        lift_slope=float(row[_SLOPE]) * LIFT_SLOPE,
        lift_max=float(row[_MAX]),
        lift_max_spread=float(table.spreads[_MAX]),
        lift_min=float(row[_MIN]),
        drag_min=float(row[_DRAG]),
        drag_spread=float(table.spreads[_DRAG]),
        drag_lift=float(row[_DRAG_LIFT]),
        drag_growth=float(row[_GROWTH]),
        families=table.families,
        mark=table.mark,
        outside_data=bool(outside_data(reynolds)) or table.strayed,
    )


# --- many strips at once ---------------------------------------------------------------------


@dataclass(frozen=True)
class StripPolars:
    """The sections of many strips. Methods take arrays whose last axis is the strips."""

    values: Array
    spreads: Array
    strayed: NDArray[np.bool_]

    def limits(self, reynolds: Array) -> tuple[Array, Array]:
        """Greatest and least lift coefficient of each strip."""
        row = _read(self.values, reynolds)
        return row[..., _MAX], row[..., _MIN]

    def drag(self, lift: Array, reynolds: Array) -> Array:
        """Profile drag coefficient of each strip."""
        row = _read(self.values, reynolds)
        return np.asarray(row[..., _DRAG] + row[..., _GROWTH] * (lift - row[..., _DRAG_LIFT]) ** 2)

    @property
    def lift_max_spread(self) -> Array:
        """Spread of the greatest lift coefficient, share, each strip."""
        return np.asarray(self.spreads[:, _MAX])

    @property
    def drag_spread(self) -> Array:
        """Spread of the least profile drag, share, each strip."""
        return np.asarray(self.spreads[:, _DRAG])


def strip_polars(places: Sequence[tuple[Sequence[StationPoint], float]]) -> StripPolars:
    """Polars of strips, mixed between the stations on either side.

    places: for each strip the stations of its surface and its distance from the root. [m]
    """
    values, spreads, strayed = [], [], []
    for stations, span in places:
        at = min(max(abs(span), stations[0].span), stations[-1].span)
        outer = next(i for i, s in enumerate(stations) if i > 0 and at <= s.span)
        a, b = stations[outer - 1], stations[outer]
        part = (at - a.span) / (b.span - a.span)
        one, two = section_table(a), section_table(b)
        values.append(one.values + (two.values - one.values) * part)
        spreads.append(one.spreads + (two.spreads - one.spreads) * part)
        strayed.append(one.strayed or two.strayed)
    return StripPolars(np.array(values), np.array(spreads), np.array(strayed, dtype=bool))
