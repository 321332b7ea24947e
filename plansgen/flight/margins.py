"""Static margin with each of the batteries."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from plansgen.balance.result import BalanceResult, Loading
from plansgen.quantity import Quantity


@dataclass(frozen=True)
class LoadingMargin:
    """Static margin with one of the batteries, where it sits and at both ends of its bay."""

    name: str
    static_margin: Annotated[float, Quantity("1", "Static margin", "static-margin", "%")]
    battery_foremost: Annotated[
        float | None,
        Quantity("1", "Static margin, battery at the front of its bay", "static-margin", "%"),
    ] = None
    battery_aftmost: Annotated[
        float | None,
        Quantity("1", "Static margin, battery at the back of its bay", "static-margin", "%"),
    ] = None


def margins_of(
    balance: BalanceResult, neutral_point: float, chord: float
) -> tuple[LoadingMargin, ...]:
    """Static margin of every loading. neutral_point: x. [m] chord: mean. [m]"""
    return tuple(
        LoadingMargin(
            loading.state.name,
            (neutral_point - loading.state.x) / chord,
            *_at_bay_ends(loading, balance.bay, neutral_point, chord),
        )
        for loading in balance.loadings
    )


def _at_bay_ends(
    loading: Loading, bay: tuple[float, float] | None, neutral_point: float, chord: float
) -> tuple[float | None, float | None]:
    """Static margin with the battery slid to either end of its bay."""
    if bay is None or loading.battery_x is None or loading.battery_mass is None:
        return None, None
    per_metre = loading.battery_mass / loading.state.mass

    def margin(x: float) -> float:
        moved = loading.state.x + (x - (loading.battery_x or 0.0)) * per_metre
        return (neutral_point - moved) / chord

    return margin(bay[0]), margin(bay[1])
