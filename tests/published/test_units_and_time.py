"""Units and dates against their definitions."""

from __future__ import annotations

import datetime

import pytest
from pydantic import TypeAdapter

from plansgen.airframe.build import build_airframe
from plansgen.balance.result import work_out_balance
from plansgen.dossier import work_out
from plansgen.library.models import DesignFile
from plansgen.library.units import Angle, Area, ArealDensity, Density, FileUnits, Length, Mass
from tests.designs import design_of, dossier_of, file_of, glider, stock


def read(kind: object, text: object, units: FileUnits | None = None) -> float:
    adapter = TypeAdapter[float](kind)
    return adapter.validate_python(text, context={"units": units or FileUnits()})


@pytest.mark.parametrize(
    ("kind", "text", "value"),
    [
        # NIST Special Publication 811 (2008), appendix B: exact where printed in bold
        (Length, "1 in", 0.0254),
        (Length, "1 ft", 0.3048),
        (Mass, "1 oz", 0.028349523125),
        (Mass, "1 lb", 0.45359237),
        (Area, "1 in2", 6.4516e-4),
        (Angle, "180 deg", 3.141592653589793),
        # to the digits printed there
        (Density, "1 lb/ft3", pytest.approx(16.01846, rel=1e-6)),
        (ArealDensity, "1 oz/yd2", pytest.approx(0.03390575, rel=1e-6)),
        (ArealDensity, "1 oz/ft2", pytest.approx(0.3051517, rel=1e-6)),
    ],
)
def test_conversion_factors(kind: object, text: str, value: float) -> None:
    """NIST Special Publication 811 (2008), appendix B."""
    assert read(kind, text) == value


def test_a_design_in_inches_and_ounces_is_the_same_design() -> None:
    """1 in = 25.4 mm and 1 oz = 28.349523125 g exactly (NIST SP 811)."""
    metric = dossier_of(glider()).balance.ready
    raw = glider()
    for each in raw["surfaces"].values():
        each["section"]["thickness"] /= 25.4
        each["at"] = {axis: value / 25.4 for axis, value in each.get("at", {}).items()}
        for station in each["stations"]:
            station |= {key: value / 25.4 for key, value in station.items() if key in "xyz"}
            station["chord"] /= 25.4
    raw["items"][0] |= {"mass": 40 / 28.349523125, "at": {"x": 10 / 25.4}}
    raw["materials"]["board"]["thickness"] = "5 mm"
    raw["materials"]["board"]["areal_density"] = "460 g/m2"
    raw["units"] = {"length": "in", "mass": "oz"}
    context = {"units": FileUnits(length="in", mass="oz")}
    file = DesignFile.model_validate(raw, context=context)
    imperial = work_out_balance(file, build_airframe(file, {}), stock(file)).ready
    assert metric is not None
    assert imperial is not None
    assert imperial.state.mass == pytest.approx(metric.state.mass, rel=1e-12)
    assert imperial.state.x == pytest.approx(metric.state.x, rel=1e-12)


def test_dates_are_iso_8601() -> None:
    """ISO 8601: year, month, day."""
    assert dossier_of(glider()).date == "2026-05-30"
    assert file_of(glider()).date == datetime.date(2026, 5, 30)


def test_build_time_adds_up_minutes() -> None:
    """A minute is 60 s (SI brochure, table 8)."""
    step = {"title": "Cut", "minutes": 40, "wait": {"minutes": 90, "for": "glue"}}
    design = design_of(glider(), steps=[step, {"title": "Sand", "minutes": 20}])
    time = work_out(design).build_time
    assert (time.steps, time.working, time.waiting) == (2, 3600.0, 5400.0)
