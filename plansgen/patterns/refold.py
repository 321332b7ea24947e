"""Fold a flat strip up again by the angles of its folds, and measure how far it is off."""

from __future__ import annotations

import math

import numpy as np

from plansgen.patterns.develop import Array, Developed


def folded_back(sheet: Developed) -> float:
    """Greatest distance of the folded strip from its solid, both laid on each other. [m]

    The flat quads stay rigid; each turns about the rung before it by the angle of the solid there.
    A twisted strip is off by what must be twisted by hand.
    """
    near, far = _plane(sheet.flat_near), _plane(sheet.flat_far)
    normals = _normals(sheet.near, sheet.far)
    rungs = sheet.far - sheet.near
    turn, move = np.eye(3), np.zeros(3)
    folded = [near[0], far[0], near[1], far[1]]
    for n in range(1, len(near) - 1):
        axis = far[n] - near[n]
        size = float(np.linalg.norm(axis))
        angle = _angle(normals[n - 1], normals[n], rungs[n])
        # Turning the flat quad first and then carrying it along is the same, and needs no copies.
        step = _rotation(axis / size, angle)
        move = move + turn @ (near[n] - step @ near[n])
        turn = turn @ step
        folded += [turn @ near[n + 1] + move, turn @ far[n + 1] + move]
    solid = np.stack([sheet.near, sheet.far], axis=1).reshape(-1, 3)
    return laid_on(np.array(folded), solid)


def laid_on(points: Array, solid: Array) -> float:
    """Greatest distance of points from as many others, moved and turned to fit best. [m]

    Source: W. Kabsch 1976, Acta Cryst. A32:922.
    """
    a, b = points - points.mean(axis=0), solid - solid.mean(axis=0)
    u, _, vt = np.linalg.svd(a.T @ b)
    flip = np.diag([1.0, 1.0, float(np.sign(np.linalg.det(u @ vt)))])
    return float(np.linalg.norm(a @ (u @ flip @ vt) - b, axis=1).max())


def _plane(points: Array) -> Array:
    return np.column_stack([points, np.zeros(len(points))])


def _normals(near: Array, far: Array) -> Array:
    """Of every quad, from its diagonals; looking at the side that the flat strip shows."""
    cross = np.cross(far[1:] - near[:-1], far[:-1] - near[1:])
    size = np.linalg.norm(cross, axis=1)
    return np.asarray(cross / np.maximum(size, 1e-15)[:, None])


def _angle(before: Array, after: Array, rung: Array) -> float:
    """Signed angle from one normal to the next about a rung. [rad]"""
    axis = rung / np.linalg.norm(rung)
    return math.atan2(float(np.cross(before, after) @ axis), float(before @ after))


def _rotation(axis: Array, angle: float) -> Array:
    """Rotation matrix about a unit axis (Rodrigues' formula)."""
    x, y, z = axis
    cross = np.array([[0.0, -z, y], [z, 0.0, -x], [-y, x, 0.0]])
    return np.asarray(np.eye(3) + math.sin(angle) * cross + (1 - math.cos(angle)) * cross @ cross)
