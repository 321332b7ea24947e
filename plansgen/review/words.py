"""Numbers and remedies in the words of a finding."""

from __future__ import annotations

import math

from plansgen.airframe.layout import Reference
from plansgen.balance.advice import BallastPlaces, BatteryPlace, remedy_for
from plansgen.balance.result import BalanceResult, Loading
from plansgen.balance.target import Target
from plansgen.review.balance_rules import what_to_move

PRACTICE = "common practice, no source"
ESTIMATE = "estimate"
MINUS = "\N{MINUS SIGN}"


def _signed(value: float, decimals: int) -> str:
    return f"{value:.{decimals}f}".replace("-", MINUS)


def mm(metres: float) -> str:
    """A length in whole millimetres."""
    return f"{_signed(round(metres * 1000) + 0.0, 0)} mm"


def grams(kilograms: float) -> str:
    """A mass in grams."""
    return f"{_signed(kilograms * 1000, 0)} g"


def degrees(radians: float, decimals: int = 1) -> str:
    """An angle in degrees."""
    return f"{_signed(math.degrees(radians), decimals)}°"


def percent(share: float, decimals: int = 0) -> str:
    """A share in per cent."""
    return f"{_signed(100 * share, decimals)} %"


def speed(metres_a_second: float) -> str:
    """A speed."""
    return f"{metres_a_second:.1f} m/s"


def dm2(square_metres: float) -> str:
    """An area in square decimetres."""
    return f"{square_metres * 100:.1f} dm²"


def on_chord(share: float) -> str:
    """A place on the mean aerodynamic chord."""
    return f"{percent(share, 1)} of the mean aerodynamic chord"


def move_to(x: float, *, loading: Loading, balance: BalanceResult, reference: Reference) -> str:
    """What brings a loading's balance point to x: the battery first, then ballast. [m]"""
    share = reference.share_of_mac(x)
    here = Target("own", "own", x, share, x - reference.root_x, x, share, x, share)
    battery = None
    if loading.battery_x is not None and loading.battery_mass and balance.bay is not None:
        battery = BatteryPlace(loading.battery_mass, loading.battery_x, *balance.bay)
    ends = balance.sensitivity
    places = BallastPlaces(ends.nose_x, ends.tail_x) if ends else BallastPlaces(x, x)
    return what_to_move(remedy_for(loading.state, here, battery, places, reference))
