"""A control's linkage as the design gives it, and what it makes of the servo's travel.

A horn on the underside (of an upright surface: to starboard) has its hole swing aft when the
trailing edge goes up; one on top, when it goes down. The rod's length is the distance
between servo and hinge on the drawing; a long rod's exact length changes nothing that a builder
could see.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated

import numpy as np

from plansgen.airframe.build import ControlSurface
from plansgen.controls.linkage import Linkage
from plansgen.library.models import Control, DesignFile, Item, Servo
from plansgen.quantity import Quantity

_SHORTEST_ROD = 2.0  # arms and horns together, where servo and hinge are drawn on one place


@dataclass(frozen=True)
class Fit:
    """A linkage at work. Angles as sizes.

    down, up: of the servo's arm for the design's travel; None where the rod does not reach.
    used: share of the servo's travel for the larger. at_most_down, at_most_up: of the surface at
    the servo's stops; None where the rod does not reach. alike_down, alike_up: of the surface when
    the servo turns as far both ways as the larger of down and up. passes: without dead centre.
    reaches: it gives the design's travel within the servo's. above: the horn stands on top.
    """

    servo: str
    above: bool
    arm: Annotated[float, Quantity("m", "Servo arm", "given-by-designer")]
    horn: Annotated[float, Quantity("m", "Horn", "given-by-designer")]
    ahead: Annotated[float, Quantity("m", "Horn's hole ahead of the hinge", "given-by-designer")]
    rod: Annotated[float, Quantity("m", "Rod", "controls-linkage")]
    servo_travel: Annotated[float, Quantity("rad", "Servo's travel each way", "given-by-designer")]
    down: Annotated[float | None, Quantity("rad", "Servo for down", "controls-linkage")]
    up: Annotated[float | None, Quantity("rad", "Servo for up", "controls-linkage")]
    used: Annotated[float | None, Quantity("1", "Servo travel used", "controls-linkage", "%")]
    at_most_down: Annotated[float | None, Quantity("rad", "At most down", "controls-linkage")]
    at_most_up: Annotated[float | None, Quantity("rad", "At most up", "controls-linkage")]
    alike_down: Annotated[
        float | None, Quantity("rad", "Down, servo alike both ways", "controls-linkage")
    ]
    alike_up: Annotated[
        float | None, Quantity("rad", "Up, servo alike both ways", "controls-linkage")
    ]
    ratio: Annotated[float, Quantity("1", "Surface over servo, in the middle", "controls-linkage")]
    transmission: Annotated[
        float | None, Quantity("rad", "Least angle between rod and horn", "controls-linkage")
    ]
    passes: bool
    reaches: bool

    @property
    def linkage(self) -> Linkage:
        """The four-bar."""
        return linkage_of(arm=self.arm, horn=self.horn, ahead=self.ahead, rod=self.rod)


def linkage_of(*, arm: float, horn: float, ahead: float, rod: float) -> Linkage:
    """The four-bar of an arm and a horn whose hole is so far from the hinge in all. [m]"""
    return Linkage(arm=arm, horn=math.sqrt(horn**2 - ahead**2), ahead=ahead, rod=rod)


def swings_of(control: Control) -> tuple[float, float]:
    """Swings of the horn for full down and full up, aft positive. [rad]"""
    up = -1.0 if control.horn_side == "above" else 1.0
    return -up * control.most_down, up * control.most_up


def servo_of(design: DesignFile, control: Control) -> Item | None:
    """The item that moves a control."""
    return next((item for item in design.items if item.name == control.servo), None)


def missing_of(design: DesignFile, control: Control) -> tuple[str, ...]:
    """What the design does not say of a linkage, in words."""
    servo = servo_of(design, control)
    gaps = []
    if servo is None:
        gaps.append("which servo moves it")
    if control.arm is None:
        gaps.append("the lengths of servo arm and horn")
    if servo is None or servo.servo is None or servo.servo.torque is None:
        gaps.append("the servo's torque")
    if control.slop is None:
        gaps.append("its free play")
    return tuple(gaps)


def fit_of(design: DesignFile, given: Control, control: ControlSurface) -> Fit | None:
    """The linkage of a control; None while servo, arm or horn are not given."""
    item = servo_of(design, given)
    if item is None or given.arm is None or given.horn is None:
        return None
    rod = max(_distance(item, control), _SHORTEST_ROD * (given.arm + given.horn))
    linkage = linkage_of(arm=given.arm, horn=given.horn, ahead=given.horn_ahead, rod=rod)
    travel = (item.servo or Servo()).travel
    swings = swings_of(given)
    aft = -1.0 if given.horn_side == "above" else 1.0
    down, up = (linkage.arm_for(swing) for swing in swings)
    turns = None if down is None or up is None else max(abs(down), abs(up))
    passes = all(linkage.passes(swing) for swing in swings)
    angles = [linkage.transmission(swing) for swing in swings]
    return Fit(
        servo=item.name,
        above=given.horn_side == "above",
        arm=given.arm,
        horn=given.horn,
        ahead=given.horn_ahead,
        rod=rod,
        servo_travel=travel,
        down=_size(down),
        up=_size(up),
        used=None if turns is None else turns / travel,
        at_most_down=_size(linkage.swing(-aft * travel)),
        at_most_up=_size(linkage.swing(aft * travel)),
        alike_down=None if turns is None else _size(linkage.swing(-aft * turns)),
        alike_up=None if turns is None else _size(linkage.swing(aft * turns)),
        ratio=linkage.ratio(0.0) or 0.0,
        transmission=None if None in angles else min(a for a in angles if a is not None),
        passes=passes,
        reaches=passes and turns is not None and turns <= travel + 1e-9,
    )


def _size(angle: float | None) -> float | None:
    return None if angle is None else abs(angle)


def _distance(item: Item, control: ControlSurface) -> float:
    """Servo to the nearest point of the hinge line, on the side where both are. [m]"""
    servo = np.array([item.at.x, abs(item.at.y), item.at.z])
    ends = np.array(control.hinge)
    ends[:, 1] = np.abs(ends[:, 1])
    shares = np.linspace(0.0, 1.0, 21)[:, None]
    lines = [a + (b - a) * shares for a, b in pairwise(ends)]
    return float(min(np.linalg.norm(line - servo, axis=1).min() for line in lines))
