"""What a builder feels when it balances too far forward or aft, with this design's numbers."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from plansgen.airframe.build import Airframe
from plansgen.flight.pitching import needed
from plansgen.flight.result import FlightResult
from plansgen.review.words import degrees, mm, percent, speed


@dataclass(frozen=True)
class Feel:
    """One way of balancing wrongly, as it is felt on the stick and seen from the ground."""

    way: Literal["too far forward", "too far aft"]
    signs: tuple[str, ...]


def feel_of(airframe: Airframe, flight: FlightResult) -> tuple[Feel, Feel]:
    """Both ways of balancing wrongly, forward first."""
    return (
        Feel("too far forward", tuple(_forward(airframe, flight))),
        Feel("too far aft", tuple(_aft(airframe, flight))),
    )


def _forward(airframe: Airframe, flight: FlightResult) -> list[str]:
    chord, root = airframe.reference.mac, airframe.reference.root_x
    found = [
        "Throttle back and the nose goes down of itself; it glides steep and fast.",
        "It wants back stick to hold height, and more of it the slower it flies.",
    ]
    one = _elevator_for(airframe, flight, 0.01)
    if one is not None:
        found.append(
            f"Each {mm(0.01 * chord)} further forward (1 % of the mean chord) costs another "
            f"{degrees(one)} of up-elevator at the stall."
        )
    limit = flight.limits.forward
    if limit is not None:
        found.append(
            f"Ahead of {mm(limit.x - root)} behind the wing's root leading edge all the "
            "up-elevator there is does not slow it to its stall: it arrives fast, on its nose "
            "wheel or its nose."
        )
    return found


def _aft(airframe: Airframe, flight: FlightResult) -> list[str]:
    limits, root = flight.limits, airframe.reference.root_x
    found = [
        "A touch of elevator and it rears or tucks; it never settles to one speed.",
        "After a dive with the stick let go it does not pull out, or tucks further under.",
    ]
    swing = _stick_from_cruise_to_stall(airframe, flight, limits.least_margin)
    as_is = _stick_from_cruise_to_stall(airframe, flight, flight.margins[0].static_margin)
    if swing is not None and as_is is not None and as_is > swing:
        found.append(
            f"At the aft limit {degrees(swing)} of elevator lie between cruise and stall; "
            f"as it balances now it is {degrees(as_is)}."
        )
    found.append(
        f"Behind {mm(limits.aft_x - root)} from the wing's root leading edge the static margin is "
        f"under {percent(limits.least_margin, 1)}; at {mm(limits.neutral_point - root)} it is "
        "gone, and nobody flies it for long."
    )
    found.append(
        f"A stall from slow flight at {speed(flight.stall.speed)} comes without a nod first."
    )
    return found


def _elevator_for(airframe: Airframe, flight: FlightResult, shift: float) -> float | None:
    """Elevator that a shift of the balance point costs at the stall, shift in mean chords. [rad]"""
    return _turned(airframe, flight, shift * flight.stall.lift_max)


def _stick_from_cruise_to_stall(
    airframe: Airframe, flight: FlightResult, margin: float
) -> float | None:
    """Elevator between cruise and stall at a static margin: ΔCL times it, over Cm_δ. [rad]"""
    return _turned(airframe, flight, margin * (flight.stall.lift_max - flight.cruise_lift))


def _turned(airframe: Airframe, flight: FlightResult, moment: float) -> float | None:
    name = flight.trim.control
    if name is None:
        return None
    surface, key, _ = name.split(".")
    share = next(c.chord_share for c in airframe.surface(surface).controls if c.key == key)
    slope = abs(flight.derivatives.control(name).pitch)
    turned = needed(moment / slope, share=share) if slope > 1e-6 else None
    return abs(turned) if turned is not None else None
