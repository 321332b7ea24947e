"""What the surfaces make together: the layout, the reference wing, the tail arms and volumes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Literal, Protocol

from plansgen.airframe.planform import Planform, StationPoint, integral
from plansgen.library.models import Layout, SurfaceRole
from plansgen.quantity import Quantity


class HasPlanform(Protocol):
    """What this module needs to know of a surface."""

    @property
    def key(self) -> str: ...  # noqa: D102
    @property
    def role(self) -> SurfaceRole: ...  # noqa: D102
    @property
    def mirrored(self) -> bool: ...  # noqa: D102
    @property
    def stations(self) -> tuple[StationPoint, ...]: ...  # noqa: D102
    @property
    def planform(self) -> Planform: ...  # noqa: D102


@dataclass(frozen=True)
class Reference:
    """The wing (or wings together) that coefficients and balance are referred to."""

    area: Annotated[float, Quantity("m²", "Reference area", "reference-area")]
    span: Annotated[float, Quantity("m", "Reference span", "reference-area")]
    mac: Annotated[float, Quantity("m", "Mean aerodynamic chord", "mean-aerodynamic-chord")]
    mac_x: Annotated[
        float, Quantity("m", "Leading edge of the mean aerodynamic chord, x", "mac-position")
    ]
    mac_y: Annotated[
        float, Quantity("m", "Mean aerodynamic chord, distance from centre line", "mac-position")
    ]
    mac_z: Annotated[float, Quantity("m", "Mean aerodynamic chord, height", "mac-position")]
    root_x: Annotated[float, Quantity("m", "Wing's root leading edge, x", "given-by-designer")]
    aspect_ratio: Annotated[float, Quantity("1", "Aspect ratio", "aspect-ratio")]
    wings: tuple[str, ...]

    @property
    def quarter_chord_x(self) -> float:
        """Quarter point of the mean aerodynamic chord. [m]"""
        return self.mac_x + 0.25 * self.mac

    def share_of_mac(self, x: float) -> float:
        """Where a place lies on the mean aerodynamic chord: 0 leading edge, 1 trailing edge."""
        return (x - self.mac_x) / self.mac

    def x_of_share(self, share: float) -> float:
        """The x of a share of the mean aerodynamic chord. [m]"""
        return self.mac_x + share * self.mac


@dataclass(frozen=True)
class TailVolume:
    """What one surface does as a tail, in one direction.

    area: effective, after a V-tail's projection. arm: aft of the reference quarter chord to the
    surface's own; a canard's is negative.
    """

    surface: str
    direction: Literal["horizontal", "vertical"]
    area: Annotated[float, Quantity("m²", "Effective tail area", "vee-tail-projection")]
    arm: Annotated[float, Quantity("m", "Tail arm", "tail-arm")]
    volume: Annotated[float, Quantity("1", "Tail volume", "tail-volume-horizontal")]


def _wings(surfaces: Sequence[HasPlanform]) -> list[HasPlanform]:
    return [surface for surface in surfaces if surface.role == "wing"]


def recognise(surfaces: Sequence[HasPlanform]) -> Layout:
    """Name the layout that the surfaces make.

    Two wings whose quarter chords lie further apart than their mean chord are a tandem, else a
    biplane. A tail ahead of every wing makes a canard, whatever its role is called. Wings without a
    tail, with or without fins, are tailless, a biplane's too: no rule of balance holds for them.
    """
    roles = {surface.role for surface in surfaces}
    wings = _wings(surfaces)
    foremost = min(wing.planform.quarter_chord_x for wing in wings)
    if "canard" in roles or any(
        surface.planform.quarter_chord_x < foremost
        for surface in surfaces
        if surface.role in ("tailplane", "vee-tail")
    ):
        return "canard"
    if len(wings) > 1:
        quarters = [wing.planform.quarter_chord_x for wing in wings]
        mean = sum(wing.planform.mac for wing in wings) / len(wings)
        if max(quarters) - min(quarters) > mean:
            return "tandem"
    if not roles & {"tailplane", "vee-tail"}:
        return "tailless"
    return "biplane" if len(wings) > 1 else "conventional"


def reference_of(surfaces: Sequence[HasPlanform]) -> Reference:
    """Take the wings together, each by its projected area; the span is the greatest."""
    wings = _wings(surfaces)
    area = sum(wing.planform.area for wing in wings)

    def mean(name: str) -> float:
        total: float = sum(wing.planform.area * getattr(wing.planform, name) for wing in wings)
        return total / area

    span = max(wing.planform.span for wing in wings)
    return Reference(
        area=area,
        span=span,
        mac=mean("mac"),
        mac_x=mean("mac_x"),
        mac_y=mean("mac_y"),
        mac_z=mean("mac_z"),
        root_x=min(wing.stations[0].x for wing in wings),
        aspect_ratio=span**2 / area,
        wings=tuple(wing.key for wing in wings),
    )


def _shares(surface: HasPlanform) -> tuple[float, float]:
    """Effective horizontal and vertical area of a surface. [m²]

    A V-tail works by cos² and sin² of each panel's dihedral. Source: Purser & Campbell, NACA
    Report 823 (1945).
    """
    if surface.role == "fin":
        return 0.0, surface.planform.area
    if surface.role != "vee-tail":
        return surface.planform.area, 0.0
    level = upright = 0.0
    halves = 2 if surface.mirrored else 1
    for inner, outer in pairwise(surface.stations):
        area = halves * integral(
            (inner, outer), lambda s: s.chord, lambda _: 1.0, weight="developed"
        )
        angle = math.atan2(outer.z - inner.z, outer.y - inner.y)
        level += area * math.cos(angle) ** 2
        upright += area * math.sin(angle) ** 2
    return level, upright


def tail_volumes(surfaces: Sequence[HasPlanform], reference: Reference) -> tuple[TailVolume, ...]:
    """Tail arms and volumes, V_H = S_h l_h / (S c̄) and V_V = S_v l_v / (S b).

    Source: D. P. Raymer, *Aircraft Design: A Conceptual Approach*, tail volume coefficients.
    """
    found: list[TailVolume] = []
    for surface in surfaces:
        if surface.role == "wing":
            continue
        arm = surface.planform.quarter_chord_x - reference.quarter_chord_x
        level, upright = _shares(surface)
        if level:
            volume = level * arm / (reference.area * reference.mac)
            found.append(TailVolume(surface.key, "horizontal", level, arm, volume))
        if upright:
            volume = upright * arm / (reference.area * reference.span)
            found.append(TailVolume(surface.key, "vertical", upright, arm, volume))
    return tuple(found)
