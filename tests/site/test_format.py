"""Units as a builder reads them."""

from __future__ import annotations

import pytest

from plansgen.site.format import show


@pytest.mark.parametrize(
    ("value", "unit", "metric", "imperial"),
    [
        # NIST SP 811, appendix B.8: mile 1609.344 m, foot 0.3048 m, pound-force 4.448 222 N.
        (10.0, "m/s", "10.0 m/s (36 km/h)", "22 mph"),
        (0.5, "m/s", "0.50 m/s", "1.6 ft/s"),
        (4.448222, "N", "4.45 N", "16.0 ozf"),
        (0.1129848, "N m", "0.113 N m", "16.0 ozf in"),  # one pound-force inch
        (7.4, "W", "7.40 W", ""),
        (1.25, "Hz", "1.25 Hz", ""),
        (950.0, "Pa", "950 Pa", ""),
        (5.5, "1/rad", "5.50 per radian", ""),
        (12.0, "s", "12 s", ""),
        (90 * 60.0, "s", "1 h 30 min", ""),
    ],
)
def test_units(value: float, unit: str, metric: str, imperial: str) -> None:
    shown = show(value, unit)
    assert (shown.metric.replace("\xa0", " "), shown.imperial.replace("\xa0", " ")) == (
        metric,
        imperial,
    )
