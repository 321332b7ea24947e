"""What can be done to trim a model out, each step with this design's own numbers.

Signs are in the names of the steps, so every number is a size.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Literal

from plansgen.airframe.build import Airframe
from plansgen.atmosphere import GRAVITY
from plansgen.balance.advice import ballast_mass
from plansgen.balance.result import BalanceResult, Loading
from plansgen.flight.modes import Mode
from plansgen.flight.pitching import felt, needed
from plansgen.flight.result import FlightResult
from plansgen.library.models import ControlKind
from plansgen.quantity import Quantity
from plansgen.review.curves import at
from plansgen.review.first_flight import FIRST_THROW, FirstFlightCard
from plansgen.review.speed_rules import washout_needed

STEP = 0.02  # of the mean chord: one step of the balance point (common practice, no source)
HAIR = 0.0005  # m: nobody measures a balance point more finely
ONE_DEGREE = math.radians(1)
WASHER, MOUNT = 0.001, 0.035  # m: a washer under one side of a usual motor mount
TENTH = 0.1  # of the speed, that one step of elevator trim changes
BUILT_IN = math.radians(2.0)  # washout where the stall is inboard already (common practice)
MORE_FIN = 0.2  # one step of fin area (common practice, no source)

Do = Literal[
    "nose-up trim",
    "nose-down trim",
    "balance point aft",
    "balance point forward",
    "thrust line nose-down",
    "thrust line nose-up",
    "thrust line against the turn",
    "roll trim",
    "weight at the light tip",
    "washout",
    "keep speed",
    "let it swing",
    "more fin",
    "burst of throttle",
    "longer tail arm",
    "less elevator throw",
    "throttle to hold height",
    "climb speed",
    "more throw",
    "roll by rudder",
]


@dataclass(frozen=True)
class Action:
    """One thing to do; the numbers that it needs are there, the others None.

    angle: of trim, thrust line or washout. length: a slide of the battery, a throw, a height at the
    trailing edge or an arm. mass: ballast. place: of ballast, ``nose`` or ``tail``. as_trim: of
    elevator (or of what rolls it), which does as much in cruise. pusher: the propeller works behind
    the balance point, so the motor tilts the other way. reached: the battery's bay allows it.
    """

    do: Do
    angle: Annotated[float | None, Quantity("rad", "Angle", "trim-out-trim")] = None
    length: Annotated[float | None, Quantity("m", "Distance", "trim-out-slide")] = None
    mass: Annotated[float | None, Quantity("kg", "Mass", "trim-out-weight")] = None
    speed: Annotated[float | None, Quantity("m/s", "Speed", "trim-out-approach")] = None
    time: Annotated[float | None, Quantity("s", "Time", "flight-modes")] = None
    half: Annotated[float | None, Quantity("s", "Time to half", "flight-modes")] = None
    area: Annotated[float | None, Quantity("m²", "Fin area then", "trim-out-fin")] = None
    thrust: Annotated[float | None, Quantity("N", "Thrust", "trim-out-level-thrust")] = None
    share: Annotated[float | None, Quantity("1", "Share", "trim-out-level-share", "%")] = None
    as_trim: Annotated[float | None, Quantity("rad", "As much as", "trim-out-washer")] = None
    place: Literal["", "nose", "tail"] = ""
    pusher: bool = False
    reached: bool = True


@dataclass(frozen=True)
class Steps:
    """One design, asked for each step; nothing where it has none of that kind."""

    airframe: Airframe
    balance: BalanceResult
    ready: Loading
    flight: FlightResult
    card: FirstFlightCard

    # --- pitch ---------------------------------------------------------------------------------

    def pitch_trim(self, do: Do) -> tuple[Action, ...]:
        """Elevator for a tenth of speed, about the approach, and how far its trailing edge goes."""
        curve = [(p.speed, p.deflection) for p in self.flight.trim.points]
        speed = self.card.approach
        slow, fast = at(speed, curve), at(speed * (1 + TENTH), curve)
        if self.flight.trim.control is None or slow is None or fast is None:
            return ()
        angle = abs(slow - fast)
        return (Action(do, angle=angle, length=self._pitch_chord * math.sin(angle)),)

    @property
    def _pitch_chord(self) -> float:
        key = (self.flight.trim.control or "").rpartition(".")[0]
        return next(throw.chord for throw in self.card.throws if throw.key == key)

    def balance_step(self, do: Do) -> tuple[Action, ...]:
        """One step of the balance point: by the battery, and by ballast where it cannot slide.

        None where it would leave the card's limits, or take the least static margin away.
        """
        aft = do == "balance point aft"
        limits = self.flight.limits
        if aft and self.flight.margins[0].static_margin - STEP < limits.least_margin:
            return ()
        shift = STEP * self.airframe.reference.mac * (1 if aft else -1)
        state, battery = self.ready.state, self.ready.battery_mass
        end = self.card.aft if aft else self.card.forward
        there = state.x + shift - self.airframe.reference.root_x
        beyond = 0.0 if end is None else (there - end) * (1 if aft else -1)
        if beyond > HAIR:
            return ()
        found = []
        if battery and self.ready.battery_x is not None and self.balance.bay is not None:
            slide = shift * state.mass / battery
            low, high = self.balance.bay
            reached = low - 1e-9 <= self.ready.battery_x + slide <= high + 1e-9
            found.append(Action(do, length=abs(slide), reached=reached))
            if reached:
                return tuple(found)
        ends = self.balance.sensitivity
        if ends is not None:
            place: Literal["nose", "tail"] = "tail" if aft else "nose"
            weight, target = (ends.tail_x if aft else ends.nose_x), state.x + shift
            if (weight - target) * shift > 0.0:
                mass = ballast_mass(mass=state.mass, x=state.x, target=target, at=weight)
                found.append(Action(do, mass=mass, place=place))
        return tuple(found)

    def less_throw(self) -> tuple[Action, ...]:
        """The throw of the first flight, for the pitch control."""
        if self.flight.trim.control is None:
            return ()
        key = self.flight.trim.control.rpartition(".")[0]
        throw = next(t for t in self.card.throws if t.key == key and t.motion == "pitch")
        length = min(throw.first, FIRST_THROW * throw.full)
        return (
            Action("less elevator throw", angle=math.asin(length / throw.chord), length=length),
        )

    def more_elevator(self) -> Iterator[Action]:
        """What helps an elevator that runs out when slow, the easiest first."""
        ways = self.flight.help
        if ways is None:
            return
        nose = self.flight.control.nose_off
        ends = nose.speed if nose is not None and nose.speed is not None else 0.0
        yield Action("keep speed", speed=max(self.card.approach, 1.1 * ends))
        if ways.thrust:
            full = self.flight.control.thrust
            share = ways.thrust / full if 0.0 < ways.thrust <= full else None
            yield Action("burst of throttle", thrust=ways.thrust, share=share)
        yield from self.balance_step("balance point aft")
        if ways.tail_arm is not None and ways.now < ways.target:
            yield Action("longer tail arm", length=ways.tail_arm, share=ways.target)

    # --- power ---------------------------------------------------------------------------------

    def thrust_line(self, do: Do) -> tuple[Action, ...]:
        """A washer under the motor's mount, and the trim that would do as much in cruise."""
        if not self.airframe.propellers:
            return ()
        arm = self.ready.state.x - sum(p.x for p in self.airframe.propellers) / len(
            self.airframe.propellers
        )
        tilt = math.atan(WASHER / MOUNT)
        trim = None if do == "thrust line against the turn" else self._as_elevator(arm, tilt)
        return (Action(do, angle=tilt, as_trim=trim, pusher=arm < 0.0),)

    def _as_elevator(self, arm: float, tilt: float) -> float | None:
        name, speed = self.flight.trim.control, self.flight.cruise
        thrust = at(speed, [(p.speed, p.thrust) for p in self.flight.control.on])
        if name is None or thrust is None:
            return None
        reference = self.airframe.reference
        pressure = self.flight.air.dynamic_pressure(speed) * reference.area
        turning = abs(arm) * thrust * math.sin(tilt) / (pressure * reference.mac)
        return self._deflection(name, turning, abs(self.flight.derivatives.control(name).pitch))

    def _share(self, name: str) -> float:
        surface, key, _ = name.split(".")
        controls = self.airframe.surface(surface).controls
        return next(c.chord_share for c in controls if c.key == key)

    def _deflection(self, name: str, wanted: float, slope: float) -> float | None:
        """Real deflection of a control for a moment coefficient; None when it has none to give."""
        return needed(wanted / slope, share=self._share(name)) if slope > 1e-6 else None

    def climb(self) -> Iterator[Action]:
        """Throttle to hold height, and the speed to climb at."""
        power = self.card.power
        if power is None:
            return
        yield Action(
            "throttle to hold height",
            thrust=power.level_thrust,
            share=power.level_share,
            speed=power.level_speed,
        )
        yield Action("climb speed", speed=power.climb_speed, angle=power.climb)

    # --- roll and yaw ----------------------------------------------------------------------------

    def _roller(self) -> tuple[str, float] | None:
        """The control that rolls it, and the rolling moment for a radian of it, at length."""
        d = self.flight.derivatives
        by_motion = {m: [c for c in d.controls if c.mode.motion == m] for m in ("roll", "yaw")}
        if by_motion["roll"]:
            best = max(by_motion["roll"], key=lambda c: abs(c.slopes.roll))
            return best.mode.name, abs(best.slopes.roll)
        if by_motion["yaw"] and d.beta.yaw > 0.0:
            best = max(by_motion["yaw"], key=lambda c: abs(c.slopes.yaw))
            return best.mode.name, abs(best.slopes.yaw / d.beta.yaw * d.beta.roll)
        return None

    def roll_trim(self) -> tuple[Action, ...]:
        """One degree of what rolls it."""
        return (Action("roll trim", angle=ONE_DEGREE),) if self._roller() else ()

    def tip_weight(self) -> tuple[Action, ...]:
        """What a degree of that trim holds at the approach, as mass at a tip."""
        roller = self._roller()
        if roller is None:
            return ()
        name, slope = roller
        moment = slope * felt(ONE_DEGREE, share=self._share(name))
        reference = self.airframe.reference
        pressure = self.flight.air.dynamic_pressure(self.card.approach) * reference.area
        mass = moment * pressure * 2 / GRAVITY
        return (Action("weight at the light tip", mass=mass, angle=ONE_DEGREE),)

    def keep_speed(self) -> tuple[Action, ...]:
        """The speed of the approach, as the least for a new model."""
        return (Action("keep speed", speed=self.card.approach),)

    def washout(self) -> tuple[Action, ...]:
        """Solved where the wing lets go outboard; else the usual two degrees."""
        wings = [self.airframe.surface(key) for key in self.airframe.reference.wings]
        wing = max(wings, key=lambda s: (s.planform.area, s.key))
        stall, angle = self.flight.stall, BUILT_IN
        if stall.first_surface == wing.key and stall.first_share > 0.6 and stall.found:
            angle = washout_needed(self.airframe, stall) or BUILT_IN
        return (Action("washout", angle=angle, length=wing.stations[-1].chord * math.sin(angle)),)

    def swing(self) -> tuple[Action, ...]:
        """The phugoid's period, and how soon it halves by itself."""
        slow = self.flight.motions.phugoid
        return (_motion("let it swing", slow),) if slow and slow.period else ()

    def less_wagging(self) -> Iterator[Action]:
        """The Dutch roll's period, and more fin."""
        wag = self.flight.motions.dutch_roll
        if wag is not None and wag.period:
            yield _motion("let it swing", wag)
        area = sum(t.area for t in self.airframe.tails if t.direction == "vertical")
        if area > 0.0:
            yield Action("more fin", area=(1 + MORE_FIN) * area, share=MORE_FIN)

    def more_roll(self) -> Iterator[Action]:
        """Full aileron and the time it takes to bank; or rudder and dihedral."""
        rollers: tuple[ControlKind, ...] = ("aileron", "elevon", "flaperon")
        throws = [t for t in self.card.throws if t.kind in rollers and t.motion == "roll"]
        if throws:
            points = [(p.speed, p.roll_rate) for p in self.flight.control.off]
            rate = at(self.flight.cruise, points)
            widest = max(throws, key=lambda t: t.full)
            time = math.pi / 2 / rate if rate is not None and rate > 0.0 else None
            yield Action("more throw", length=widest.full, angle=widest.travel, time=time)
            yield from self.keep_speed()
            return
        rudders = [t for t in self.card.throws if t.motion == "yaw"]
        if rudders:
            widest = max(rudders, key=lambda t: t.full)
            yield Action(
                "roll by rudder",
                length=widest.full,
                angle=self.flight.rules.effective_dihedral,
            )


def _motion(do: Do, mode: Mode) -> Action:
    return Action(do, time=mode.period, half=mode.half)
