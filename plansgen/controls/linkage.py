"""From the servo's arm to the surface's edge: the linkage as the four-bar it is, both ways exactly.

Seen from the side of the horn: x aft, z towards the tip of the horn, the hinge at the origin. With
everything in the middle the rod lies along x, the servo's arm stands square to it and points the
way the horn does. Four bars: arm, rod, horn, and the model between servo and hinge.

Method: the loop closes where two circles meet, solved by the law of cosines (J. J. Uicker, G. R.
Pennock & J. E. Shigley, *Theory of Machines and Mechanisms*, position analysis of the four-bar).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

Place = tuple[float, float]

# Below it the rod pulls on the horn more than it turns it. Textbooks of mechanisms keep the angle
# between rod and driven link from 40° to 140° (from memory).
LEAST_TRANSMISSION = math.radians(40.0)


def _turn(angle: float) -> float:
    """An angle from −π to π."""
    return math.remainder(angle, 2 * math.pi)


@dataclass(frozen=True, kw_only=True)
class Linkage:
    """One servo, its rod and one horn. [m]

    arm: servo axis to the hole in its arm. horn: hinge line to the hole in the horn, square to the
    surface. ahead: how far the hole lies ahead of the hinge line; behind it, less than 0. rod: hole
    to hole. Angles below are 0 in the middle and positive where arm and horn swing aft.

    Raises:
        ValueError: an arm, horn or rod that is not above 0.
    """

    arm: float
    horn: float
    rod: float
    ahead: float = 0.0

    def __post_init__(self) -> None:
        for name in ("arm", "horn", "rod"):
            if not getattr(self, name) > 0.0:
                raise ValueError(f"{name} is {getattr(self, name):g} m, but must be above 0")

    @property
    def servo(self) -> Place:
        """The servo's axis."""
        return -self.ahead - self.rod, self.horn - self.arm

    @property
    def reach(self) -> float:
        """Hinge line to the hole in the horn, straight. [m]"""
        return math.hypot(self.horn, self.ahead)

    @property
    def _rest(self) -> float:
        """Direction of the horn's hole from the hinge, in the middle."""
        return math.atan2(self.horn, -self.ahead)

    def arm_hole(self, arm: float) -> Place:
        """Where the arm's hole is. arm: angle of the servo's arm. [rad]"""
        x, z = self.servo
        return x + self.arm * math.sin(arm), z + self.arm * math.cos(arm)

    def horn_hole(self, swing: float) -> Place:
        """Where the horn's hole is. swing: of the surface. [rad]"""
        direction = self._rest - swing
        return self.reach * math.cos(direction), self.reach * math.sin(direction)

    def swing(self, arm: float) -> float | None:
        """Swing of the surface for an angle of the arm; None where the rod does not reach. [rad]"""
        x, z = self.arm_hole(arm)
        away, direction = math.hypot(x, z), math.atan2(z, x)
        opening = _opening(self.reach, away, self.rod)
        return None if opening is None else _turn(self._rest - direction + opening)

    def arm_for(self, swing: float) -> float | None:
        """Angle of the arm for a swing of the surface; None where the rod does not reach. [rad]"""
        (x, z), (servo_x, servo_z) = self.horn_hole(swing), self.servo
        x, z = x - servo_x, z - servo_z
        opening = _opening(self.arm, math.hypot(x, z), self.rod)
        return None if opening is None else _turn(math.pi / 2 - math.atan2(z, x) - opening)

    def levers(self, arm: float, swing: float) -> tuple[float, float]:
        """Square distances of the rod from the servo's axis and from the hinge. [m]

        They change sign where the rod passes the axis: dead centre.
        """
        (ax, az), (px, pz) = self.arm_hole(arm), self.horn_hole(swing)
        (sx, sz), rod = self.servo, self.rod
        ux, uz = (px - ax) / rod, (pz - az) / rod
        return ux * (az - sz) - uz * (ax - sx), ux * pz - uz * px

    def ratio(self, arm: float) -> float | None:
        """Turn of the surface over that of the arm there; None at dead centre or out of reach.

        By virtual work it is also the torque at the servo over the hinge moment.
        """
        swing = self.swing(arm)
        if swing is None:
            return None
        servo, horn = self.levers(arm, swing)
        return servo / horn if abs(horn) > 1e-9 else None

    def transmission(self, swing: float) -> float | None:
        """Angle between rod and horn, 90° at best, below 0 past dead centre; None out of reach."""
        arm = self.arm_for(swing)
        if arm is None:
            return None
        _, horn = self.levers(arm, swing)
        return math.asin(min(max(horn / self.reach, -1.0), 1.0))

    def passes(self, swing: float) -> bool:
        """Whether it comes from the middle to a swing without meeting dead centre at either end."""
        for step in range(1, 25):
            part = swing * step / 24
            arm = self.arm_for(part)
            if arm is None or min(self.levers(arm, part)) <= 0.0:
                return False
        return True


def _opening(first: float, second: float, opposite: float) -> float | None:
    """Angle between two sides of a triangle, by the third; None where it does not close. [rad]"""
    if second <= 0.0:
        return None
    cosine = (first**2 + second**2 - opposite**2) / (2 * first * second)
    if abs(cosine) > 1.0 + 1e-12:
        return None
    return math.acos(min(max(cosine, -1.0), 1.0))
