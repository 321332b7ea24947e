"""Where and when the wing stalls, by the critical-section method.

The angle of attack rises until the first strip reaches the greatest lift of its own section at its
own Reynolds number; the speed that goes with it is the one at which that lift carries the model, so
speed and Reynolds number agree. The load along the span is the lattice's.

Source: R. F. Anderson, NACA Report 572 (1936), maximum lift of tapered wings. A wing flies on a
little after its first strip has let go, so the result errs to the safe side by a few per cent.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from plansgen.atmosphere import GRAVITY, Air
from plansgen.flight.pitching import LEVEL_ROLES, Line, PitchModel, needed
from plansgen.flight.polars import outside_data
from plansgen.quantity import Quantity

Array = NDArray[np.float64]

BANKS = tuple(math.radians(bank) for bank in (30.0, 45.0, 60.0))
_LEAST_LIFT = 0.02
_HALVINGS = 24


@dataclass(frozen=True)
class StripMargin:
    """One strip of a level surface at the stall, and how far it is from its own."""

    surface: str
    y: Annotated[float, Quantity("m", "Distance from centre line", "given-by-designer")]
    lift: Annotated[float, Quantity("1", "Section lift coefficient, c_l", "flight-stall")]
    limit: Annotated[float, Quantity("1", "Greatest c_l of the section", "flight-section-polar")]
    margin: Annotated[float, Quantity("1", "Margin of c_l", "flight-stall")]
    reynolds: Annotated[float, Quantity("1", "Reynolds number", "flight-section-polar")]


@dataclass(frozen=True)
class TurnStall:
    """The stall in a level turn."""

    bank: Annotated[float, Quantity("rad", "Bank", "flight-turn")]
    load_factor: Annotated[float, Quantity("1", "Load factor, n", "flight-turn")]
    speed: Annotated[float, Quantity("m/s", "Stall speed in the turn", "flight-turn")]


@dataclass(frozen=True)
class Stall:
    """The stall in straight flight, power off, and in turns. Spreads: one standard deviation.

    deflection: of the pitch control that trims it, None where none does. first_share: of the half
    span, 0 centre and 1 tip. first_surface: a foreplane that goes first is what should be.
    tail_margin: least margin of c_l of the tail; None without one. found: False when nothing
    stalls up to 28°, where theory ends.
    """

    lift_max: Annotated[float, Quantity("1", "Greatest lift coefficient, CLmax", "flight-stall")]
    lift_max_spread: Annotated[
        float, Quantity("1", "Spread of the greatest lift", "flight-stall", "%")
    ]
    speed: Annotated[float, Quantity("m/s", "Stall speed", "flight-stall")]
    speed_spread: Annotated[float, Quantity("m/s", "Spread of the stall speed", "flight-stall")]
    angle: Annotated[float, Quantity("rad", "Angle of attack at the stall", "flight-stall")]
    deflection: Annotated[
        float | None, Quantity("rad", "Pitch control at the stall", "flight-trim")
    ]
    first_surface: str
    first_y: Annotated[float, Quantity("m", "Where it stalls first", "flight-stall")]
    first_share: Annotated[
        float, Quantity("1", "Where it stalls first, of the half span", "flight-stall", "%")
    ]
    tail_margin: Annotated[float | None, Quantity("1", "Margin of the tail's c_l", "flight-stall")]
    strips: tuple[StripMargin, ...]
    turns: tuple[TurnStall, ...]
    outside_data: bool
    found: bool


def level_speed(
    *, lift: Array | float, mass: float, area: float, air: Air, load: float = 1.0
) -> Array:
    """Speed at which a lift coefficient carries the model, load factor times over. [m/s]"""
    return np.asarray(np.sqrt(2 * load * mass * GRAVITY / (air.density * area * np.asarray(lift))))


@dataclass(frozen=True)
class StripState:
    """Strips in one or more states: lift, greatest and least lift, Reynolds number."""

    lift: Array
    most: Array
    least: Array
    reynolds: Array


class Watch:
    """A model on one line of states at one load factor, with an eye on every strip.

    lifting: strips that carry the model, wing and foreplane. level: these and the tail.
    """

    def __init__(
        self, model: PitchModel, line: Line, *, mass: float, air: Air, load: float
    ) -> None:
        self.model, self.line, self.air = model, line, air
        self.mass, self.load = mass, load
        surfaces = model.airframe.surfaces
        strips = model.strips
        self.lifting = strips.of(surfaces, "wing", "canard") & ~strips.small
        self.level = strips.of(surfaces, *LEVEL_ROLES) & ~strips.small

    def speed(self, lift: Array | float) -> Array:
        """Speed at which a lift coefficient carries the model. [m/s]"""
        return level_speed(
            lift=lift, mass=self.mass, area=self.model.scale.area, air=self.air, load=self.load
        )

    def state(self, lift: Array) -> StripState:
        """The strips at some lift coefficients."""
        line, strips = self.line, self.model.strips
        local = self.speed(lift)[:, None] * line.at(line.speeds, lift)
        reynolds = np.abs(local) * np.maximum(strips.chord, 1e-6) / self.air.kinematic_viscosity
        most, least = self.model.polars.limits(reynolds)
        shift = self.model.shifted(line.at(line.deflections, lift))
        return StripState(line.at(line.strips, lift), most + shift, least + shift, reynolds)

    def margins(self, lift: Array) -> Array:
        """Margin of the strips that carry the model; others count as endless."""
        state = self.state(lift)
        return np.where(self.lifting, state.most - state.lift, np.inf)

    def critical_lift(self) -> tuple[float, bool]:
        """The lift coefficient at which the first strip stalls, and whether one does.

        Raises:
            ValueError: there is no lift to begin with.
        """
        lifts = self.line.lifts[self.line.lifts > _LEAST_LIFT]
        if not len(lifts):
            raise ValueError("the model does not lift at any angle of attack up to 28°")
        worst = self.margins(lifts).min(axis=1)
        gone = np.flatnonzero(worst <= 0.0)
        if not len(gone):
            return float(lifts[-1]), False
        high = float(lifts[gone[0]])
        low = float(lifts[gone[0] - 1]) if gone[0] else _LEAST_LIFT
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            if self.margins(np.array([middle])).min() > 0.0:
                low = middle
            else:
                high = middle
        return high, True


def critical_lift(
    model: PitchModel, line: Line, *, mass: float, air: Air, load_factor: float = 1.0
) -> float:
    """Lift coefficient at which the first strip of wing or foreplane stalls along a line of states.

    mass: [kg]
    """
    return Watch(model, line, mass=mass, air=air, load=load_factor).critical_lift()[0]


def _strip_margins(watch: Watch, state: StripState) -> tuple[StripMargin, ...]:
    names, ys = watch.model.strips.surfaces, watch.model.strips.y
    rows = []
    for i in np.flatnonzero(watch.level).tolist():
        lift, most, least = (float(a[0, i]) for a in (state.lift, state.most, state.least))
        upward = most - lift <= lift - least
        rows.append(
            StripMargin(
                surface=names[i],
                y=float(ys[i]),
                lift=lift,
                limit=most if upward else least,
                margin=most - lift if upward else lift - least,
                reynolds=float(state.reynolds[0, i]),
            )
        )
    return tuple(rows)


def work_out_stall(
    model: PitchModel,
    *,
    mass: float,
    air: Air,
    trimmed: bool = True,
    banks: Sequence[float] = BANKS,
) -> Stall:
    """The stall of a model, power off.

    model: balanced at its point. mass: [kg] trimmed: with the pitch control that holds the model
    there, however far that is; else with controls as in the model's flow. banks: of level turns;
    the model's turning in pitch is left out. [rad]

    Raises:
        ValueError: the mass is not above 0, a bank is 90° or more, or the model does not lift.
    """
    if not mass > 0.0:
        raise ValueError(f"the mass is {mass:g} kg; it must be above 0")
    if any(not abs(bank) < math.pi / 2 for bank in banks):
        raise ValueError("a level turn needs a bank of less than 90°")
    line = model.trimmed_line if trimmed else model.line(0.0)
    watch = Watch(model, line, mass=mass, air=air, load=1.0)
    lift, found = watch.critical_lift()
    at = np.array([lift])
    state = watch.state(at)
    first = int(watch.margins(at)[0].argmin())
    strips = model.strips
    key = strips.surfaces[first]
    half = max(abs(s.y) for s in model.airframe.surface(key).stations)
    spread = float(model.polars.lift_max_spread[first])
    speed = float(watch.speed(lift))
    deflection = float(line.at(line.deflections, lift))
    rows = _strip_margins(watch, state)
    carriers = {s.key for s in model.airframe.surfaces if s.role in ("wing", "canard")}
    return Stall(
        lift_max=lift,
        lift_max_spread=spread,
        speed=speed,
        speed_spread=speed * spread / 2,
        angle=float(line.at(line.angles, lift)),
        deflection=needed(deflection, share=model.control_share) if model.mode else None,
        first_surface=key,
        first_y=abs(float(strips.y[first])),
        first_share=abs(float(strips.y[first])) / half,
        tail_margin=min((r.margin for r in rows if r.surface not in carriers), default=None),
        strips=rows,
        turns=tuple(_turn(model, line, mass=mass, air=air, bank=bank) for bank in banks),
        outside_data=bool(outside_data(state.reynolds[0, first]) or model.polars.strayed[first]),
        found=found,
    )


def _turn(model: PitchModel, line: Line, *, mass: float, air: Air, bank: float) -> TurnStall:
    """Faster, so at a greater Reynolds number than in straight flight."""
    load = 1.0 / math.cos(bank)
    watch = Watch(model, line, mass=mass, air=air, load=load)
    return TurnStall(
        bank=bank, load_factor=load, speed=float(watch.speed(watch.critical_lift()[0]))
    )
