"""One way to tell strength over load."""

from __future__ import annotations

CAP = 99.0
"""A reserve factor above this is told as this: there is next to no load."""


def reserve_factor(*, strength: float, load: float) -> float:
    """Strength over load, at most :data:`CAP`; both in the same unit, the load of either sign."""
    if abs(load) * CAP <= strength:
        return CAP
    return strength / abs(load)
