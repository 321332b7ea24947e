"""Load cases: what a wing, a tail and a body must stand, and where each number comes from.

On the ground: a wing tip that strikes at the sink speed v is a spring k with the mass that the free
model shows there, so the peak force is v √(k m), the whole energy being taken by the bending; a
throw and a nose that runs in are v²/2s over a stated way s.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

import numpy as np

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.atmosphere import GRAVITY
from plansgen.balance.centre import MassState
from plansgen.balance.result import BalanceResult
from plansgen.flight.handling import PITCH_SPEED, THRUST_TO_WEIGHT
from plansgen.flight.pitching import felt
from plansgen.flight.result import TOP, FlightResult, thrust_of
from plansgen.library.models import DesignFile
from plansgen.library.tables import Mark
from plansgen.quantity import Quantity
from plansgen.structure.events import gust_of, pull, strike

Kind = Literal["air", "hand launch", "wing tip", "nose", "bench"]

THROW = 1.5  # m; way over which an arm speeds a model up (estimate)
RELEASE = 1.1  # speed of release over stall speed; estimate
CRUSH = 0.15  # m; way over which nose and turf give together (estimate)
CRASHES = ("wing-tip", "nose")  # keys of cases in which something may break
LEVEL = ("wing", "canard")
TAILS = ("tailplane", "canard", "vee-tail")


@dataclass(frozen=True)
class LoadCase:
    """One thing that happens to the model.

    key: names it. on: roles of the surfaces that it loads. load_factor: lift over weight, upward
    positive; of a landing, the force of the ground over the weight; lying or held, 1. words: what
    happens, plainly. source: where the numbers come from. along: forward acceleration; what is
    carried pushes aft. [m/s²] struck, force: the wing whose
    tip hits the ground, and how hard. [N] controls_at: load factor
    that the pitch control is trimmed for; left out, the case's own. sideslip,
    deflections: come suddenly, before the model has turned; controls are thrown to there. By
    control mode, as theory has it. [rad]
    """

    key: str
    title: str
    load_factor: Annotated[float, Quantity("1", "Load factor, n", "structure-load-factor")]
    speed: Annotated[float, Quantity("m/s", "Speed", "structure-load-speed")]
    words: str
    source: str
    mark: Mark
    kind: Kind = "air"
    on: tuple[str, ...] = LEVEL
    along: Annotated[float, Quantity("m/s²", "Acceleration forward", "structure-load-along")] = 0.0
    struck: str = ""
    force: Annotated[float, Quantity("N", "Force at the tip", "structure-load-tip")] = 0.0
    controls_at: float | None = None
    sideslip: Annotated[float, Quantity("rad", "Sideslip", "structure-load-gust")] = 0.0
    deflections: Mapping[str, float] = field(default_factory=dict)

    @property
    def in_service(self) -> bool:
        """Whether it must be stood with the wanted reserve: see :func:`is_service`."""
        return is_service(self.key)

    @property
    def suddenly(self) -> bool:
        """Whether it comes before the model has turned."""
        return bool(self.deflections) or self.sideslip != 0.0


def is_service(case: str) -> bool:
    """Whether a case must be stood with the wanted reserve, by its key.

    A crash may break something, and all that the wing can pull is told as a speed limit.
    """
    return case not in ("full-pull", *CRASHES)


def mass_felt(state: MassState, *, x: float, y: float) -> float:
    """Mass that a free model shows to an upright push at a place. [kg, m]

    1/m' = 1/m + y²/Ixx + (x − x_cg)²/Iyy, free rigid body.
    """
    return 1.0 / (1.0 / state.mass + y**2 / state.ixx + (x - state.x) ** 2 / state.iyy)


@dataclass(frozen=True)
class TopSpeed:
    """Fastest it will fly, and where that comes from."""

    speed: Annotated[float, Quantity("m/s", "Top speed", "structure-load-speed")]
    source: str
    mark: Mark


def level_top_speed(
    design: DesignFile, airframe: Airframe, balance: BalanceResult, flight: FlightResult
) -> float | None:
    """Where full thrust meets the drag; None without propellers or where they do not meet. [m/s]

    Thrust is that of the drive where it is known; else it falls in a straight line with speed, as
    in the flight calculation.
    """
    if flight.powered is not None:
        return flight.powered.top_speed
    if not airframe.propellers or balance.ready is None:
        return None
    static = thrust_of(design, airframe)
    if static is None:
        static = THRUST_TO_WEIGHT * balance.ready.state.mass * GRAVITY
    speeds = np.array(flight.performance.speeds)
    pressure = 0.5 * flight.air.density * airframe.reference.area * speeds**2
    drag = np.array(flight.performance.drags) * pressure
    thrust = static * np.maximum(0.0, 1 - speeds / (PITCH_SPEED * TOP * flight.stall.speed))
    spare = thrust - drag
    over = np.flatnonzero(spare > 0.0)
    if not len(over) or over[-1] == len(speeds) - 1:
        return None
    i = int(over[-1])
    share = spare[i] / (spare[i] - spare[i + 1])
    return float(speeds[i] + (speeds[i + 1] - speeds[i]) * share)


def top_speed_of(
    design: DesignFile, airframe: Airframe, balance: BalanceResult, flight: FlightResult
) -> TopSpeed:
    """The designer's, else that of level flight at full throttle, else three stall speeds."""
    given = design.structure.top_speed
    if given is not None:
        return TopSpeed(given, "top speed given by the designer", "common practice")
    level = level_top_speed(design, airframe, balance, flight)
    if level is not None:
        worked_out = "worked-out" if flight.powered is not None else "estimated"
        known = "measured" if design.flight.thrust is not None else worked_out
        words = f"level flight where full thrust ({known} static thrust) meets the drag"
        return TopSpeed(level, words, "estimate")
    return TopSpeed(TOP * flight.stall.speed, f"{TOP:g} times the stall speed", "estimate")


@dataclass(frozen=True)
class _Maker:
    """Everything that the cases are made from."""

    design: DesignFile
    airframe: Airframe
    balance: BalanceResult
    flight: FlightResult
    state: MassState
    top: TopSpeed

    @property
    def manoeuvring(self) -> float:
        """Slowest speed at which the wing can pull the limit load. [m/s]"""
        return self.flight.stall.speed * math.sqrt(self.design.structure.limit_load)

    @property
    def _dive(self) -> str:
        """What to add to the words where the manoeuvring speed lies beyond the top speed."""
        return " Only in a dive is it that fast." if self.manoeuvring > self.top.speed else ""

    def pulls(self) -> Iterator[LoadCase]:
        """Pull-up at the limit, at what the wing can, and the push."""
        wanted, stall = self.design.structure, self.flight.stall.speed
        yield LoadCase(
            key="pull-up",
            title="Pull-up at the limit",
            load_factor=wanted.limit_load,
            speed=self.manoeuvring,
            words=f"A pull-out or steep turn at {wanted.limit_load:g} times its weight, at the "
            f"slowest speed at which the wing can do it.{self._dive}",
            source="limit load factor of the design; speed Vs √n",
            mark="common practice",
        )
        yield LoadCase(
            key="full-pull",
            title="All the wing can pull",
            load_factor=max(1.0, pull(speed=self.top.speed, stall=stall)),
            speed=max(self.top.speed, stall),
            words="Full up elevator at top speed: the wing pulls (V/Vs)² times its weight, then "
            "stalls.",
            source=f"n = (V/Vs)²; top speed: {self.top.source}",
            mark=self.top.mark,
        )
        inverted = wanted.inverted_load
        push = inverted if inverted is not None else max(1.0, wanted.limit_load / 2)
        yield LoadCase(
            key="push",
            title="Inverted push",
            load_factor=-push,
            speed=self.manoeuvring,
            words=f"A push or inverted flight at {push:g} times its weight.{self._dive}",
            source="inverted load factor of the design"
            if inverted is not None
            else "half the limit load factor, at least 1",
            mark="common practice" if inverted is not None else "estimate",
        )

    def gusts(self) -> Iterator[LoadCase]:
        """Up and down, elevator held."""
        level = level_top_speed(self.design, self.airframe, self.balance, self.flight)
        speed = level if level is not None else self.flight.cruise
        reference, blow = self.airframe.reference, self.design.structure.gust
        found = gust_of(
            loading=self.state.mass * GRAVITY / reference.area,
            density=self.flight.air.density,
            chord=reference.mac,
            slope=self.flight.derivatives.alpha.lift,
            gust=blow,
            speed=speed,
        )
        where = "level top speed" if level is not None else "cruise"
        for sign, word in ((1.0, "up"), (-1.0, "down")):
            yield LoadCase(
                key=f"gust-{word}",
                title=f"Gust {word}",
                load_factor=1.0 + sign * found.step,
                speed=speed,
                words=f"It meets {word}ward air of {blow:g} m/s at {where}, the elevator held.",
                source=f"Pratt's formula, K {found.alleviation:.2f}; speed: {where}",
                mark="from memory",
                on=("wing", *TAILS),
                controls_at=1.0,
            )
        yield LoadCase(
            key="side-gust",
            title="Gust from the side",
            load_factor=1.0,
            speed=speed,
            words=f"It meets air from the side of {blow:g} m/s at {where}, before it has turned.",
            source=f"sharp-edged, no alleviation (safe side); speed: {where}",
            mark="common practice",
            on=("fin", "vee-tail"),
            sideslip=math.atan2(blow, speed),
        )

    def controls(self) -> Iterator[LoadCase]:
        """Full elevator each way and full rudder, at once, at manoeuvring speed."""
        pitch = self.flight.trim.control
        if pitch is not None:
            for sign, word in ((1.0, "nose up"), (-1.0, "nose down")):
                yield self._control(pitch, sign * self.flight.trim.nose_up, word, "elevator")
        yaw = [
            f"{s.key}.{c.key}.yaw"
            for s in self.airframe.surfaces
            for c in s.controls
            if c.kind in ("rudder", "ruddervator")
        ]
        if yaw:
            yield self._control(max(yaw, key=self._yaw_power), 1.0, "one way", "rudder")

    def _yaw_power(self, mode: str) -> float:
        return abs(self.flight.derivatives.control(mode).yaw)

    def _control(self, mode: str, sign: float, word: str, what: str) -> LoadCase:
        """A control thrown over before the model has turned."""
        key, control, _ = mode.split(".")
        surface = self.airframe.surface(key)
        share = next(c.chord_share for c in surface.controls if c.key == control)
        travel = abs(self.design.surfaces[key].controls[control].travel)
        return LoadCase(
            key=f"{what}-{word.replace(' ', '-')}",
            title=f"Full {what}, {word}",
            load_factor=1.0,
            speed=self.manoeuvring,
            words=f"Full {what} {word} at once at the manoeuvring speed, before the model has "
            f"turned.{self._dive}",
            source="full travel, as much of it as a real flap gives; speed Vs √n",
            mark="common practice",
            on=(surface.role,),
            deflections={mode: sign * felt(travel, share=share)},
        )

    def ground(self) -> Iterator[LoadCase]:
        """Throw, nose, and bench."""
        stall, sink = self.flight.stall.speed, self.design.structure.sink
        if "hand" in self.design.launches:
            speed = RELEASE * stall
            yield LoadCase(
                key="hand-launch",
                title="Hand launch",
                kind="hand launch",
                load_factor=1.0,
                speed=speed,
                along=speed**2 / (2 * THROW),
                words=f"The arm speeds it up to {RELEASE:g} times its stall speed over {THROW:g} m;"
                " wing and tail lag behind.",
                source="a = v²/2s; release speed and way are estimates",
                mark="estimate",
                on=("wing", "canard", "tailplane", "vee-tail"),
            )
        path = math.hypot(stall, sink)
        slowing = path**2 / (2 * CRUSH)
        yield LoadCase(
            key="nose",
            title="Landing on the nose",
            kind="nose",
            load_factor=slowing / GRAVITY,
            speed=path,
            along=-slowing,
            words=f"The nose stops it from stall speed and {sink:g} m/s of sink within "
            f"{CRUSH * 1000:.0f} mm; the wing wants to go on, and what holds it must give or hold.",
            source="a = v²/2s; the way that nose and turf give is an estimate",
            mark="estimate",
            on=("wing", "canard", "tailplane", "vee-tail"),
        )
        yield LoadCase(
            key="bench",
            title="Wing lifted by one tip",
            kind="bench",
            load_factor=1.0,
            speed=0.0,
            words="The bare wing is picked up by one tip, the other still on the bench.",
            source="beam on two supports under its own weight",
            mark="derived",
            on=("wing",),
        )

    def tip(self, stiffness: Callable[[str], float]) -> Iterator[LoadCase]:
        """One wing tip first. stiffness: of a wing's tip, by its key. [N/m]"""
        wing = lowest_tip(self.airframe)
        end, sink = wing.stations[-1], self.design.structure.sink
        spring = stiffness(wing.key)
        if not (spring > 0.0 and math.isfinite(spring)):
            return
        mass = mass_felt(self.state, x=end.x + end.chord / 2, y=end.y)
        force = strike(speed=sink, stiffness=spring, mass=mass)
        yield LoadCase(
            key="wing-tip",
            title="Landing on one wing tip",
            kind="wing tip",
            load_factor=force / (self.state.mass * GRAVITY),
            speed=sink,
            struck=wing.key,
            force=force,
            words=f"One tip strikes first at {sink:g} m/s of sink and bends until the rest of the "
            "model has swung down.",
            source=f"P = v √(k m'), tip stiffness {spring:.0f} N/m, {mass * 1000:.0f} g felt "
            "at the tip",
            mark="derived",
            on=("wing",),
        )


def lowest_tip(airframe: Airframe) -> LiftingSurface:
    """The wing whose tip strikes the ground first when the model comes down rolled over.

    Farthest out counts; of wings of equal span, the lower.
    """
    wings = [s for s in airframe.surfaces if s.role == "wing"]
    return max(wings, key=lambda s: (round(s.stations[-1].y, 6), -s.stations[-1].z))


def cases_of(
    design: DesignFile,
    airframe: Airframe,
    balance: BalanceResult,
    flight: FlightResult,
    *,
    tip_stiffness: Callable[[str], float] | None = None,
) -> tuple[LoadCase, ...]:
    """Every case that this design must stand.

    tip_stiffness: upright stiffness of a wing's tip by its key; left out, there is no landing on a
    tip. [N/m]

    Raises:
        ValueError: the design has no mass.
    """
    if balance.ready is None:
        raise ValueError("nothing in the design has a mass")
    top = top_speed_of(design, airframe, balance, flight)
    maker = _Maker(design, airframe, balance, flight, balance.ready.state, top)
    tip = maker.tip(tip_stiffness) if tip_stiffness else iter(())
    return (*maker.pulls(), *maker.gusts(), *maker.controls(), *maker.ground(), *tip)
