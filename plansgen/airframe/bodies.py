"""Bodies: lofts of straight-sided boxes or round tubes through cross-sections.

A box between two frames has flat faces (each corner moves along a straight line and every face
stays in a plane), so its areas are exact. A round one is integrated by Gauss–Legendre quadrature;
for circles the result is the frustum of a cone.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Annotated, Literal

import numpy as np

from plansgen.quantity import Quantity

Shape = Literal["box", "round"]


@dataclass(frozen=True)
class FramePoint:
    """One cross-section of the starboard (or only) body, in the body frame. [m]"""

    x: float
    y: float
    z: float
    width: float
    height: float


@dataclass(frozen=True)
class Faces:
    """Areas of a body's faces, one body. [m²]"""

    sides: float
    top: float
    bottom: float
    front: float
    rear: float

    @property
    def all(self) -> float:
        """All faces together."""
        return self.sides + self.top + self.bottom + self.front + self.rear


@dataclass(frozen=True)
class BodyShape:
    """What the textbooks want to know of a body; areas and volume of both where mirrored."""

    length: Annotated[float, Quantity("m", "Length", "side-area")]
    width: Annotated[float, Quantity("m", "Greatest width", "side-area")]
    height: Annotated[float, Quantity("m", "Greatest height", "side-area")]
    wetted: Annotated[float, Quantity("m²", "Wetted area", "wetted-area-body")]
    volume: Annotated[float, Quantity("m³", "Volume", "body-volume")]
    side_area: Annotated[float, Quantity("m²", "Side area", "side-area")]
    side_x: Annotated[float, Quantity("m", "Centre of side area, x", "side-area")]


def box_faces(frames: Sequence[FramePoint]) -> Faces:
    """Areas of the faces of a box body. Exact."""
    sides = top = bottom = 0.0
    for fore, aft in pairwise(frames):
        length = aft.x - fore.x
        flare = (aft.width - fore.width) / 2
        shift = aft.y - fore.y
        height, width = (fore.height + aft.height) / 2, (fore.width + aft.width) / 2
        sides += height * (math.hypot(length, flare + shift) + math.hypot(length, flare - shift))
        rise = aft.z - fore.z
        grow = (aft.height - fore.height) / 2
        top += width * math.hypot(length, rise + grow)
        bottom += width * math.hypot(length, rise - grow)
    nose, tail = frames[0], frames[-1]
    return Faces(sides, top, bottom, nose.width * nose.height, tail.width * tail.height)


def round_faces(frames: Sequence[FramePoint]) -> Faces:
    """Areas of a body of elliptical sections: a quarter each to top and bottom, half to the sides.

    The skin is swept by straight lines from frame to frame; |∂r/∂u × ∂r/∂θ| is integrated with
    16 × 64 points, which holds a cone to machine accuracy and a 3:1 ellipse to 1e-9.
    """
    nodes, weights = np.polynomial.legendre.leggauss(16)
    u = (nodes + 1) / 2
    theta = (np.arange(64) + 0.5) * 2 * np.pi / 64
    sin, cos = np.sin(theta)[None, :], np.cos(theta)[None, :]
    skin = 0.0
    for fore, aft in pairwise(frames):
        a = (fore.width + (aft.width - fore.width) * u)[:, None] / 2
        b = (fore.height + (aft.height - fore.height) * u)[:, None] / 2
        da, db = (aft.width - fore.width) / 2, (aft.height - fore.height) / 2
        along = np.stack(
            np.broadcast_arrays(
                aft.x - fore.x, da * cos + (aft.y - fore.y), db * sin + (aft.z - fore.z)
            ),
            axis=-1,
        )
        around = np.stack(np.broadcast_arrays(0.0, -a * sin, b * cos), axis=-1)
        density = np.linalg.norm(np.cross(along, around), axis=-1)
        skin += float((density.mean(axis=1) * 2 * np.pi) @ (weights / 2))
    ends = [math.pi / 4 * frame.width * frame.height for frame in (frames[0], frames[-1])]
    return Faces(skin / 2, skin / 4, skin / 4, ends[0], ends[1])


def faces_of(frames: Sequence[FramePoint], shape: Shape) -> Faces:
    """Areas of the faces of one body."""
    return box_faces(frames) if shape == "box" else round_faces(frames)


def _volume(frames: Sequence[FramePoint], shape: Shape) -> float:
    """Volume of one body; width and height vary linearly, so Simpson's rule is exact."""
    fill = 1.0 if shape == "box" else math.pi / 4
    total = 0.0
    for fore, aft in pairwise(frames):
        middle = (fore.width + aft.width) * (fore.height + aft.height) / 4
        ends = fore.width * fore.height + aft.width * aft.height
        total += (aft.x - fore.x) * (ends + 4 * middle) / 6
    return fill * total


def _side(frames: Sequence[FramePoint]) -> tuple[float, float]:
    """Side area of one body and the x of its centre; the profile is a chain of trapezoids."""
    area = moment = 0.0
    for fore, aft in pairwise(frames):
        length = aft.x - fore.x
        area += length * (fore.height + aft.height) / 2
        moment += (
            length
            * (fore.x * (2 * fore.height + aft.height) + aft.x * (fore.height + 2 * aft.height))
            / 6
        )
    return area, moment / area


def work_out_body(frames: Sequence[FramePoint], *, shape: Shape, mirrored: bool) -> BodyShape:
    """Work out one body, or a pair. Side area is counted for each, as the wind sees both."""
    count = 2 if mirrored else 1
    side, side_x = _side(frames)
    return BodyShape(
        length=frames[-1].x - frames[0].x,
        width=max(frame.width for frame in frames),
        height=_overall_height(frames),
        wetted=count * faces_of(frames, shape).all,
        volume=count * _volume(frames, shape),
        side_area=count * side,
        side_x=side_x,
    )


def _overall_height(frames: Sequence[FramePoint]) -> float:
    top = max(frame.z + frame.height / 2 for frame in frames)
    return top - min(frame.z - frame.height / 2 for frame in frames)
