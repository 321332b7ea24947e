"""Section shapes against printed ordinates and lengths of skin."""

from __future__ import annotations

from functools import partial

import numpy as np

from plansgen.airframe.sections import SectionShape, naca_outline, naca_thickness, section_shape
from plansgen.library.models import Section
from plansgen.published.case import Case

ROOM = "Section shapes, on a chord of 100 mm"
REPORT = "Abbott, von Doenhoff & Stivers, NACA Report 824 (1945), tables of ordinates"
FORMULA = "Jacobs, Ward & Pinkerton, NACA Report 460 (1933), formula integrated"

_case = partial(Case, room=ROOM, relative=False)


def _shape(digits: str) -> SectionShape:
    return section_shape(Section(kind="naca", digits=digits), chord=0.2)


def _thickness(x: float) -> float:
    """Half thickness of the 0012 in mm on a chord of 100 mm; x: share of the chord."""
    return 100 * float(naca_thickness(np.array(x), 0.12))


def _ordinate(digits: str, x: float, side: int) -> float:
    """In mm on a chord of 100 mm. side: 0 upper, 1 lower."""
    return 100 * float(np.interp(x, *naca_outline(digits)[side].T))


def _symmetric(key: str, title: str, published: float, ours: float) -> Case:
    return _case(
        key=key,
        title=title,
        published=published,
        ours=ours,
        unit="mm",
        tolerance=0.001,
        why="The last printed digit.",
        source=REPORT,
        mark="from memory",
    )


def _drawn(key: str, title: str, published: float, ours: float) -> Case:
    return _case(
        key=key,
        title=title,
        published=published,
        ours=ours,
        unit="mm",
        tolerance=0.02,
        why="Cambered tables were drawn by hand and printed to two decimals.",
        source=REPORT,
        mark="from memory",
    )


def _skin(key: str, title: str, published: float, ours: float) -> Case:
    return _case(
        key=key,
        title=title,
        published=published,
        ours=ours,
        unit="mm",
        tolerance=2e-4,
        why="Six digits; skins are measured along fine chords.",
        source=FORMULA,
        mark="derived",
    )


def cases() -> tuple[Case, ...]:
    """Ordinates, skin lengths and the enclosed area of four-digit sections."""
    return (
        _symmetric("naca-0012-30", "NACA 0012, half thickness at 30 mm", 6.002, _thickness(0.3)),
        _symmetric("naca-0012-5", "NACA 0012, half thickness at 5 mm", 3.555, _thickness(0.05)),
        _symmetric("naca-0012-100", "NACA 0012, half of the open edge", 0.126, _thickness(1.0)),
        _drawn("naca-2412-30", "NACA 2412, upper side at 30 mm", 7.88, _ordinate("2412", 0.3, 0)),
        _drawn("naca-2412-60", "NACA 2412, lower side at 60 mm", -2.76, _ordinate("2412", 0.6, 1)),
        _drawn("naca-4412-40", "NACA 4412, upper side at 40 mm", 9.80, _ordinate("4412", 0.4, 0)),
        _drawn("naca-4412-20", "NACA 4412, lower side at 20 mm", -2.74, _ordinate("4412", 0.2, 1)),
        _skin("skin-0012", "NACA 0012, skin of one side", 101.9636, _shape("0012").upper * 100),
        _skin(
            "skin-2412", "NACA 2412, skin of the upper side", 102.8032, _shape("2412").upper * 100
        ),
        _skin(
            "skin-4412", "NACA 4412, skin of the lower side", 100.9309, _shape("4412").lower * 100
        ),
        _case(
            key="enclosed-0012",
            title="NACA 0012, area inside",
            published=822.10,
            ours=_shape("0012").enclosed * 1e4,
            unit="mm²",
            tolerance=0.01,
            why="The last digit.",
            source=FORMULA,
            mark="derived",
        ),
    )
