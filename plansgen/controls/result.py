"""Everything about the controls of a design, in order.

1. Throws in degrees and at the edge, and how far the servo turns for them.
2. Where to start, by the flight calculation and by common practice.
3. Mixing, where two orders share a control.
4. Hinge moments at top speed and at the stall, and the servo against them.
5. What to look at before it flutters.
6. The card to check every direction by.

What the design does not give is named, and only what hangs on it is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated

from plansgen.airframe.build import Airframe, ControlSurface, LiftingSurface, station_at
from plansgen.controls.card import StickCheck, check_card
from plansgen.controls.fitting import Fit, fit_of, missing_of, servo_of, swings_of
from plansgen.controls.flutter import FlutterCaution, Made, flutter_cautions
from plansgen.controls.hinge import HingeMoment, ServoLoad, at_servo, hinge_moment
from plansgen.controls.mixing import ORDERS, MixTable, is_upright, mix_table
from plansgen.controls.throws import StartThrow, between, edge_of, start_throw, true_chord
from plansgen.flight.controls import Motion
from plansgen.flight.pitching import felt
from plansgen.flight.result import TOP, FlightResult
from plansgen.flight.travels import neutral_of, share_of, travels_of
from plansgen.library.models import MIXED, Control, ControlKind, DesignFile
from plansgen.quantity import Quantity

# Two of a kind cannot be told apart by a millionth of a degree.
_ALIKE = 1e-6


@dataclass(frozen=True)
class ControlThrow:
    """One control: how far it goes, what moves it, what it needs.

    edges: at the widest place, square to the surface. neutral: up more than 0; travels and their
    edges count from there. missing: what the design does not say, in
    words. starts: one for each order that it obeys. moments: empty without a flight calculation.
    upright: its edge goes left and right, where down stands for right.
    """

    key: str
    title: str
    surface: str
    kind: ControlKind
    halves: int
    upright: bool
    neutral: Annotated[float, Quantity("rad", "Edge up, sticks in the middle", "given-by-designer")]
    neutral_edge: Annotated[float, Quantity("m", "Edge up, sticks in the middle", "controls-edge")]
    chord: Annotated[float, Quantity("m", "Chord of the control, widest", "controls-edge")]
    down: Annotated[float, Quantity("rad", "Travel down", "controls-travel")]
    up: Annotated[float, Quantity("rad", "Travel up", "controls-travel")]
    down_edge: Annotated[float, Quantity("m", "Edge down", "controls-edge")]
    up_edge: Annotated[float, Quantity("m", "Edge up", "controls-edge")]
    slop: Annotated[float | None, Quantity("rad", "Free play", "given-by-designer")]
    slop_edge: Annotated[float | None, Quantity("m", "Free play at the edge", "controls-edge")]
    balanced: bool
    fit: Fit | None
    starts: tuple[StartThrow, ...]
    moments: tuple[HingeMoment, ...]
    load: ServoLoad | None
    missing: tuple[str, ...]

    @property
    def differential(self) -> bool:
        """Whether it goes further one way than the other."""
        return abs(self.up - self.down) > _ALIKE


@dataclass(frozen=True)
class ControlsResult:
    """All controls of a design.

    top_speed: for hinge moments and flutter; None without a flight calculation. top_source: where
    it comes from, in words.
    """

    top_speed: Annotated[float | None, Quantity("m/s", "Top speed", "controls-top-speed")]
    top_source: str
    controls: tuple[ControlThrow, ...]
    mixes: tuple[MixTable, ...]
    checks: tuple[StickCheck, ...]
    flutter: tuple[FlutterCaution, ...]

    def control(self, key: str) -> ControlThrow:
        """The control of that key, ``surface.control``."""
        return next(control for control in self.controls if control.key == key)


def work_out_controls(
    design: DesignFile,
    airframe: Airframe,
    flight: FlightResult | None,
    *,
    top_speed: float | None = None,
    top_source: str = "",
) -> ControlsResult | None:
    """Work out the controls of a design; None when it has none.

    top_speed: fastest that it will fly; left out, three stall speeds. [m/s] top_source: where that
    comes from, in words.

    Raises:
        ValueError: a linkage of impossible lengths, with the reason in words.
    """
    pairs = [(surface, control) for surface in airframe.surfaces for control in surface.controls]
    if not pairs:
        return None
    if top_speed is None and flight is not None:
        top_speed, top_source = TOP * flight.stall.speed, f"{TOP:g} times the stall speed"
    work = _Work(design, airframe, flight, top_speed)
    controls = tuple(work.control(surface, control) for surface, control in pairs)
    return ControlsResult(
        top_speed=top_speed,
        top_source=top_source,
        controls=controls,
        mixes=tuple(work.mixes(controls)),
        checks=check_card(airframe, flight),
        flutter=tuple(work.flutter(controls)),
    )


class _Work:
    """One design, asked for each control."""

    def __init__(
        self,
        design: DesignFile,
        airframe: Airframe,
        flight: FlightResult | None,
        top_speed: float | None,
    ) -> None:
        self.design, self.airframe, self.flight = design, airframe, flight
        self.top_speed = top_speed
        self.mixed = {MIXED[mixing.kind][0] for mixing in design.mixing}
        self.travels = travels_of(design)
        orders = {o for s in airframe.surfaces for c in s.controls for o in ORDERS[c.kind]}
        self.by_rudder = "roll" not in orders

    def given(self, surface: LiftingSurface, control: ControlSurface) -> Control:
        """The control as the file has it."""
        return self.design.surfaces[surface.key].controls[control.key]

    def control(self, surface: LiftingSurface, control: ControlSurface) -> ControlThrow:
        """Everything about one control."""
        given = self.given(surface, control)
        chord, fit = true_chord(surface, control), fit_of(self.design, given, control)
        moments = self._moments(surface, control, given, fit)
        return ControlThrow(
            key=f"{surface.key}.{control.key}",
            title=control.key.replace("_", " "),
            surface=surface.title,
            kind=control.kind,
            halves=2 if surface.mirrored else 1,
            upright=is_upright(control),
            neutral=given.neutral,
            neutral_edge=edge_of(chord, given.neutral),
            chord=chord,
            down=given.most_down,
            up=given.most_up,
            down_edge=edge_of(chord, given.most_down),
            up_edge=edge_of(chord, given.most_up),
            slop=given.slop,
            slop_edge=None if given.slop is None else edge_of(chord, given.slop),
            balanced=given.balanced,
            fit=fit,
            starts=tuple(self._starts(surface, control, given, chord)),
            moments=moments,
            load=self._load(given, moments),
            missing=missing_of(self.design, given),
        )

    # --- where to start ------------------------------------------------------------------------

    def _starts(
        self, surface: LiftingSurface, control: ControlSurface, given: Control, chord: float
    ) -> Iterator[StartThrow]:
        for order in ORDERS[control.kind]:
            yield start_throw(
                control,
                order,
                chord=chord,
                travel=self.travels[f"{surface.key}.{control.key}.{order}"],
                given=given.travel * share_of(self.design, control.kind, order),
                neutral=self._neutral(surface, given) if order == "pitch" else 0.0,
                flight=self.flight,
                strongest=self._strongest(order) == f"{surface.key}.{control.key}",
                rolls_by_rudder=self.by_rudder,
            )

    def _neutral(self, surface: LiftingSurface, given: Control) -> float:
        """How far the pitch control lifts the nose with the sticks in the middle. [rad]"""
        return neutral_of(given, ahead=surface.role == "canard")

    def _strongest(self, order: Motion) -> str:
        """The control that the flight calculation speaks of."""
        if self.flight is None:
            return ""
        if order == "pitch":
            return (self.flight.trim.control or "").rpartition(".")[0]

        def effect(name: str, slope: float) -> float:
            return abs(slope) * felt(self.travels[name])

        found = [
            (effect(c.mode.name, getattr(c.slopes, order)), c.mode.name.rpartition(".")[0])
            for c in self.flight.derivatives.controls
            if c.mode.motion == order and order != "flap"
        ]
        return max(found, key=lambda pair: pair[0])[1] if found else ""

    # --- mixing and flutter --------------------------------------------------------------------

    def mixes(self, controls: tuple[ControlThrow, ...]) -> Iterator[MixTable]:
        """A table for every control that obeys two orders."""
        for throw in controls:
            orders = ORDERS[throw.kind]
            surface = self.airframe.surface(throw.key.split(".")[0])
            if len(orders) < 2 or not surface.mirrored:
                continue
            control = next(c for c in surface.controls if f"{surface.key}.{c.key}" == throw.key)
            yield mix_table(
                self.airframe,
                surface,
                control,
                shares=tuple(share_of(self.design, throw.kind, order) for order in orders),
                assumed=throw.kind not in self.mixed,
                down=throw.down,
                up=throw.up,
                chord=throw.chord,
                flight=self.flight,
            )

    def flutter(self, controls: tuple[ControlThrow, ...]) -> Iterator[FlutterCaution]:
        """What to look at, control by control."""
        for throw in controls:
            surface, key = throw.key.split(".")
            control = next(c for c in self.airframe.surface(surface).controls if c.key == key)
            made = Made(
                title=throw.title,
                chord=throw.chord,
                span=control.outboard - control.inboard,
                share=control.chord_share,
                slop=throw.slop,
                balanced=throw.balanced,
            )
            yield from flutter_cautions(made, top_speed=self.top_speed or 0.0)

    # --- hinge moments -------------------------------------------------------------------------

    def _moments(
        self,
        surface: LiftingSurface,
        control: ControlSurface,
        given: Control,
        fit: Fit | None,
    ) -> tuple[HingeMoment, ...]:
        """At the fastest and at the stall; none for a surface that turns as a whole."""
        if self.flight is None or self.top_speed is None or control.chord_share >= 1.0:
            return ()
        fast = ("top speed", self.top_speed)
        if control.kind == "flap":  # nobody puts them out at top speed
            fast = ("cruise, flaps out", self.flight.cruise)
        return tuple(
            self._moment(surface, control, given, fit, where=where, speed=speed)
            for where, speed in (fast, ("the stall", self.flight.stall.speed))
        )

    def _moment(
        self,
        surface: LiftingSurface,
        control: ControlSurface,
        given: Control,
        fit: Fit | None,
        *,
        where: str,
        speed: float,
    ) -> HingeMoment:
        assert self.flight is not None  # nobody asks without
        alpha = self._alpha(surface, control, speed)
        pressure = self.flight.air.dynamic_pressure(speed)

        def moment(deflection: float, angle: float = alpha) -> float:
            return hinge_moment(
                surface, control, pressure=pressure, alpha=angle, deflection=deflection
            )

        straight = moment(given.neutral)
        full = max(given.most_down - given.neutral, given.most_up + given.neutral)
        found = None
        if fit is not None:
            found = at_servo(
                fit.linkage,
                fixed=straight,
                per_radian=moment(1.0, 0.0),
                swings=swings_of(given),
            )
        part = self._part(surface, given)
        return HingeMoment(
            where=where,
            speed=speed,
            alpha=alpha,
            deflection=full,
            moment=moment(full),
            servo=None if found is None else found * part,
        )

    def _alpha(self, surface: LiftingSurface, control: ControlSurface, speed: float) -> float:
        """Angle of attack of the control's middle in level flight, downwash left out. [rad]"""
        if surface.role == "fin" or self.flight is None:
            return 0.0
        alpha = self.flight.stall.angle if speed <= self.flight.stall.speed else None
        if alpha is None:
            alpha = between(speed, self.flight.control.off, "alpha") or 0.0
        middle = station_at(surface.stations, (control.inboard + control.outboard) / 2)
        return alpha + middle.twist

    def _part(self, surface: LiftingSurface, given: Control) -> float:
        """Share of the control's hinge moment on one servo.

        A pair of servos that moves this control alone has one half each. A pair that two controls
        name is one servo for each of them.
        """
        item = servo_of(self.design, given)
        users = sum(
            control.servo == given.servo
            for other in self.design.surfaces.values()
            for control in other.controls.values()
        )
        alone = item is not None and item.mirror and users == 1 and surface.mirrored
        return 0.5 if alone else 1.0

    def _load(self, given: Control, moments: tuple[HingeMoment, ...]) -> ServoLoad | None:
        """The servo against the hardest state."""
        asked = [m for m in moments if m.servo is not None]
        item = servo_of(self.design, given)
        if item is None or not asked:
            return None
        hardest = max(asked, key=lambda m: m.servo or 0.0)
        torque = item.servo.torque if item.servo is not None else None
        need = hardest.servo or 0.0
        return ServoLoad(
            where=hardest.where,
            needed=need,
            torque=torque,
            margin=torque / need if torque is not None and need > 0.0 else None,
        )
