"""Numbers that changed, and what that means in the air or at the bench."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from plansgen.airframe.build import Airframe
from plansgen.atmosphere import GRAVITY
from plansgen.balance.centre import MassState
from plansgen.dossier import Dossier
from plansgen.library.models import DesignFile
from plansgen.review.words import degrees, dm2, grams, mm, percent, speed

Show = Callable[[float], str]


@dataclass(frozen=True)
class NumberChange:
    """One number that is not what it was.

    key: stable id. old, new: in SI; None where it could not be worked out. was, now: as shown;
    empty for None. words: what it means.
    """

    key: str
    label: str
    old: float | None
    new: float | None
    was: str
    now: str
    words: str


@dataclass(frozen=True)
class _Row:
    """One number of a dossier.

    step: what it is rounded to where it is shown; a change by less than half of it is none. more,
    less: what a greater or a smaller value means; ``{}`` stands for by how much.
    """

    key: str
    label: str
    of: Callable[[Dossier], float | None]
    show: Show
    step: float
    more: str
    less: str


def number_changes(old: Dossier, new: Dossier) -> tuple[NumberChange, ...]:
    """Numbers of two dossiers that differ by as much as shows, the most telling first."""
    found = (_change(row, row.of(old), row.of(new)) for row in _ROWS)
    return tuple(change for change in found if change is not None)


def travel_changes(old: DesignFile, new: DesignFile) -> tuple[NumberChange, ...]:
    """Travels of controls that both designs have and that differ by as much as shows."""
    before, after = dict(_travels(old)), dict(_travels(new))
    found = (
        _change(_travel_row(key), before[key], after[key]) for key in sorted(before) if key in after
    )
    return tuple(change for change in found if change is not None)


def _change(row: _Row, old: float | None, new: float | None) -> NumberChange | None:
    if old is None and new is None:
        return None
    if old is None or new is None:
        words = "could not be worked out before" if old is None else "cannot be worked out any more"
    else:
        # Of the values as shown, so that a reader's own difference is the same.
        by = (round(new / row.step) - round(old / row.step)) * row.step
        if by == 0.0 or abs(new - old) < row.step / 2:
            return None
        words = (row.more if by > 0 else row.less).format(row.show(abs(by)))
    was, now = ("" if value is None else row.show(value) for value in (old, new))
    return NumberChange(row.key, row.label, old, new, was, now, words)


# --- the numbers -------------------------------------------------------------------------------


def _state(of: Callable[[MassState], float]) -> Callable[[Dossier], float | None]:
    def read(dossier: Dossier) -> float | None:
        ready = dossier.balance.ready
        return None if ready is None else of(ready.state)

    return read


def _margin(dossier: Dossier) -> float | None:
    margins = dossier.flight.margins if dossier.flight else ()
    return margins[0].static_margin if margins else None


def _least_reserve(dossier: Dossier) -> float | None:
    return dossier.structure.least if dossier.structure else None


def _thrust(dossier: Dossier) -> float | None:
    return dossier.drive.static.thrust / GRAVITY if dossier.drive else None


def _from_root(airframe: Airframe, x: float) -> float:
    return x - airframe.reference.root_x


def _plain(value: float, decimals: int, unit: str = "") -> str:
    return f"{value:.{decimals}f}{unit}"


_FACTOR = partial(_plain, decimals=2)
_SPEED_WORDS = ("faster by {}", "slower by {}")

_ROWS = (
    _Row(
        "mass",
        "Mass ready to fly",
        _state(lambda state: state.mass),
        grams,
        1e-3,
        "heavier by {}",
        "lighter by {}",
    ),
    _Row(
        "balance",
        "Balance point aft of the wing's root leading edge",
        _state(lambda state: state.from_root),
        mm,
        1e-3,
        "balance point moved aft by {}",
        "balance point moved forward by {}",
    ),
    _Row(
        "balance-share",
        "Balance point on the mean aerodynamic chord",
        _state(lambda state: state.mac_share),
        partial(percent, decimals=1),
        1e-3,
        "further aft by {} of the mean chord",
        "further forward by {} of the mean chord",
    ),
    _Row(
        "target",
        "Balance point wanted, aft of the wing's root leading edge",
        lambda dossier: dossier.balance.target.from_root if dossier.balance.target else None,
        mm,
        1e-3,
        "to be balanced further aft by {}",
        "to be balanced further forward by {}",
    ),
    _Row(
        "neutral-point",
        "Neutral point aft of the wing's root leading edge",
        lambda dossier: dossier.flight.neutral_from_root if dossier.flight else None,
        mm,
        1e-3,
        "further aft by {}: more stable in pitch at the same balance point",
        "further forward by {}: less stable in pitch at the same balance point",
    ),
    _Row(
        "static-margin",
        "Static margin",
        _margin,
        partial(percent, decimals=1),
        1e-3,
        "greater by {} of the mean chord: more stable in pitch, and slower to answer",
        "smaller by {} of the mean chord: less stable in pitch, and quicker to answer",
    ),
    _Row(
        "span",
        "Reference span",
        lambda dossier: dossier.airframe.reference.span,
        mm,
        1e-3,
        "longer by {}",
        "shorter by {}",
    ),
    _Row(
        "area",
        "Reference area",
        lambda dossier: dossier.airframe.reference.area,
        dm2,
        1e-3,
        "larger by {}",
        "smaller by {}",
    ),
    _Row(
        "wing-loading",
        "Wing loading",
        _state(lambda state: state.wing_loading * 10),
        partial(_plain, decimals=1, unit=" g/dm²"),
        0.1,
        "greater by {}: it flies and lands faster",
        "smaller by {}: it flies and lands slower",
    ),
    _Row(
        "stall-speed",
        "Stall speed",
        lambda dossier: dossier.flight.stall.speed if dossier.flight else None,
        speed,
        0.1,
        "{} faster: it must land faster",
        "{} slower: it can land slower",
    ),
    _Row(
        "cruise",
        "Speed of cruise",
        lambda dossier: dossier.flight.cruise if dossier.flight else None,
        speed,
        0.1,
        *_SPEED_WORDS,
    ),
    _Row(
        "glide",
        "Best glide ratio",
        lambda dossier: dossier.flight.performance.best_glide.ratio if dossier.flight else None,
        partial(_plain, decimals=1),
        0.1,
        "better by {}: it glides further",
        "worse by {}: it glides less far",
    ),
    _Row(
        "reserve",
        "Least reserve factor of a surface",
        _least_reserve,
        _FACTOR,
        0.01,
        "greater by {}: stronger at its weakest place",
        "smaller by {}: weaker at its weakest place",
    ),
    _Row(
        "thrust",
        "Static thrust",
        _thrust,
        grams,
        1e-3,
        "more by {}",
        "less by {}",
    ),
    _Row(
        "pieces",
        "Pieces to cut from sheet",
        lambda dossier: float(dossier.patterns.pieces) if dossier.patterns else None,
        partial(_plain, decimals=0),
        1.0,
        "{} more",
        "{} fewer",
    ),
    _Row(
        "sheets",
        "Sheets",
        lambda dossier: float(dossier.patterns.sheets) if dossier.patterns else None,
        partial(_plain, decimals=0),
        1.0,
        "{} more",
        "{} fewer",
    ),
    _Row(
        "build-time",
        "Working time",
        lambda dossier: dossier.build_time.working / 60 if dossier.build_time.steps else None,
        partial(_plain, decimals=0, unit=" min"),
        1.0,
        "longer by {}",
        "shorter by {}",
    ),
)


def _travels(design: DesignFile) -> Iterator[tuple[str, float]]:
    for key, surface in design.surfaces.items():
        for name, control in surface.controls.items():
            yield f"{key}.{name}", control.travel


def _travel_row(key: str) -> _Row:
    title = key.replace(".", ", ").replace("_", " ")
    return _Row(
        f"travel-{key}",
        f"Travel of {title}",
        lambda _: None,
        degrees,
        math.radians(0.1),
        "{} more",
        "{} less",
    )
