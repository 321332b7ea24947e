"""How tests with random input run whose every example takes seconds."""

from __future__ import annotations

from hypothesis import HealthCheck, Phase, settings

# Shrinking a failure would take many minutes, and any example is as good to look at.
SOME_SLOW_ONES = settings(
    max_examples=6,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow],
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
)
