"""The whole balance of a design, worked out in order."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from plansgen.airframe.build import Airframe
from plansgen.balance.advice import (
    BallastPlaces,
    BatteryPlace,
    Lateral,
    Remedy,
    Sensitivity,
    lateral_of,
    remedy_for,
    sensitivity_of,
)
from plansgen.balance.buildup import (
    NOT_DRAWN,
    AsDrawn,
    MassLine,
    Materials,
    block_of,
    build_up,
    item_line,
)
from plansgen.balance.centre import MassState, state_of
from plansgen.balance.elements import NOTHING, Moments, together
from plansgen.balance.target import Target, rule_applies, target_of
from plansgen.library.models import Battery, BatteryBay, DesignFile, Variant
from plansgen.quantity import Quantity


@dataclass(frozen=True)
class Loading:
    """The model ready to fly with one battery (or without one, for a glider).

    variant: the way of loading it, None for the usual one.
    """

    battery: str | None
    variant: str | None
    battery_mass: Annotated[float | None, Quantity("kg", "Battery", "given-by-designer")]
    battery_measured: bool
    battery_x: Annotated[
        float | None, Quantity("m", "Middle of the battery, x", "given-by-designer")
    ]
    battery_z: Annotated[float | None, Quantity("m", "Height of the battery", "given-by-designer")]
    state: MassState
    remedy: Remedy | None

    @property
    def aboard(self) -> str:
        """What it flies with, in words; empty when there is nothing to tell apart."""
        return ", ".join(words for words in (self.battery, self.variant) if words)


@dataclass(frozen=True)
class BalanceResult:
    """Mass build-up, states, target and advice. The first loading is the usual one."""

    lines: tuple[MassLine, ...]
    empty: MassState | None
    loadings: tuple[Loading, ...]
    target: Target | None
    rule_applies: bool
    bay: tuple[float, float] | None
    sensitivity: Sensitivity | None
    lateral: Lateral | None

    @property
    def ready(self) -> Loading | None:
        """The model as it usually flies; None when the design gives no masses at all."""
        return self.loadings[0] if self.loadings else None


def _battery_place(battery: Battery, bay: BatteryBay) -> BatteryPlace:
    return BatteryPlace(
        mass=battery.mass,
        x=battery.x if battery.x is not None else bay.usual_x,
        foremost=bay.from_,
        aftmost=bay.to,
    )


def _battery_moments(battery: Battery, bay: BatteryBay, place: BatteryPlace) -> Moments:
    size = (battery.size.x, battery.size.y, battery.size.z) if battery.size else None
    return block_of(battery.mass, (place.x, bay.y, bay.z), size)


def _changed(design: DesignFile, variant: Variant) -> Moments:
    """What a variant adds to the usual model, less what it leaves out."""
    gone = together(item_line(item)[1] for item in design.items if item.name in variant.without)
    return together(item_line(item)[1] for item in variant.add) + gone.scaled(-1.0)


def _places(design: DesignFile, airframe: Airframe) -> BallastPlaces:
    nose, tail = design.balance.nose, design.balance.tail
    return BallastPlaces(
        nose=nose.x if nose else airframe.extents.x_min,
        tail=tail.x if tail else airframe.extents.x_max,
    )


def work_out_balance(
    design: DesignFile, airframe: Airframe, materials: Materials, drawn: AsDrawn = NOT_DRAWN
) -> BalanceResult:
    """Add up the masses and say where the model balances and what to do about it.

    Args:
        design: What the file says.
        airframe: Its geometry.
        materials: The packaged table with the design's own on top.
        drawn: Parts as they are cut; the others are estimated from planform and places.
    """
    weighted = build_up(design, airframe, materials, drawn)
    structure = together(moments for _, moments in weighted)
    reference = airframe.reference
    target = target_of(design.balance, airframe.layout, reference)
    places = _places(design, airframe)

    def loading(battery: Battery | None, variant: Variant | None = None) -> Loading:
        place = _battery_place(battery, design.bay) if battery and design.bay else None
        moments = structure + (_changed(design, variant) if variant else NOTHING)
        if battery and design.bay and place:
            moments += _battery_moments(battery, design.bay, place)
        names = (battery.name if battery else "", variant.name if variant else "")
        title = ", ".join(name for name in names if name) or "ready to fly"
        state = state_of(title, moments, reference)
        return Loading(
            battery=battery.name if battery else None,
            variant=variant.name if variant else None,
            battery_mass=battery.mass if battery else None,
            battery_measured=bool(battery and battery.measured),
            battery_x=place.x if place else None,
            battery_z=design.bay.z if place and design.bay else None,
            state=state,
            remedy=remedy_for(state, target, place, places, reference) if target else None,
        )

    choices: tuple[Battery | None, ...] = design.batteries or (None,)
    weighs = structure.mass > 0.0
    loadings = tuple(loading(choice) for choice in choices if weighs or choice)
    if loadings:
        least = 1e-9 * structure.mass  # a variant that leaves nothing has no balance
        loadings += tuple(
            loading(choices[0], variant)
            for variant in design.variants
            if structure.mass + _changed(design, variant).mass > least
        )
    usual = loadings[0].state if loadings else None
    return BalanceResult(
        lines=tuple(line for line, _ in weighted),
        empty=state_of("empty", structure, reference) if weighs else None,
        loadings=loadings,
        target=target,
        rule_applies=rule_applies(airframe.layout),
        bay=(design.bay.from_, design.bay.to) if design.bay else None,
        sensitivity=sensitivity_of(usual, places) if usual else None,
        lateral=lateral_of(usual, reference) if usual else None,
    )
