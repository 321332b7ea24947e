"""Derivatives by hand, for tests of what is made of them."""

from __future__ import annotations

from collections.abc import Mapping

from plansgen.flight.derivatives import Derivatives, Slopes

NAMES = ("lift", "side", "roll", "pitch", "yaw", "induced_drag")


def slopes_with(given: Mapping[str, float]) -> Slopes:
    """Slopes that are 0 but for those given."""
    return Slopes(**{name: given.get(name, 0.0) for name in NAMES})


def derivatives_with(**given: Mapping[str, float]) -> Derivatives:
    """Derivatives that are 0 but for those given, by alpha, beta, p, q, r."""
    rows = {name: slopes_with(given.get(name, {})) for name in ("alpha", "beta", "p", "q", "r")}
    return Derivatives(
        alpha_at=0.0,
        point=(0.0, 0.0, 0.0),
        lift=0.0,
        pitch=0.0,
        induced_drag=0.0,
        controls=(),
        bodies=(),
        neutral_point=0.0,
        neutral_point_surfaces=0.0,
        static_margin=0.0,
        **rows,
    )
