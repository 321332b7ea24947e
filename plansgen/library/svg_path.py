"""Path data of SVG 1.1 (W3C, section 8.3) as points: every curve flattened to a tolerance."""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Callable

Point = tuple[float, float]

_TOKEN = re.compile(r"[MmLlHhVvCcSsQqTtAaZz]|[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?")
_FLAG = re.compile(r"[01]")
_BETWEEN = re.compile(r"[\s,]*")
_NEEDS = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}
_MOST_PIECES = 400  # of one curve


def subpaths(data: str, *, tolerance: float, most: int) -> list[tuple[list[Point], bool]]:
    """The subpaths of path data, each with whether it was closed by Z.

    Args:
        data: The ``d`` attribute.
        tolerance: Greatest distance of a curve from the straight lines drawn for it, in the path's
            own units.
        most: Points in all.

    Raises:
        ValueError: the data cannot be read, or makes more points.
    """
    return _Pen(tolerance, most).draw(data)


def _skipped(data: str, at: int) -> int:
    found = _BETWEEN.match(data, at)
    return found.end() if found else at


class _Pen:
    def __init__(self, tolerance: float, most: int) -> None:
        self.tolerance = tolerance
        self.most = most
        self.count = 0
        self.here = self.start = 0j
        self.handle: complex | None = None  # the last control point, for S and T
        self.kind = ""
        self.found: list[tuple[list[Point], bool]] = []

    def draw(self, data: str) -> list[tuple[list[Point], bool]]:
        command, numbers = "", list[float]()
        at = _skipped(data, 0)
        while at < len(data):
            # The flags of an arc may stand without anything between them: a5 5 0 0110 10.
            flag = command in ("A", "a") and len(numbers) in (3, 4)
            found = (_FLAG if flag else _TOKEN).match(data, at)
            if found is None:
                raise ValueError(f"path data cannot be read at {data[at : at + 12]!a}")
            token, at = found[0], _skipped(data, found.end())
            if token.isalpha():
                self._finish(command, numbers)
                command, numbers = token, []
                if command in "Zz":
                    self._close()
                    command = ""
                continue
            numbers.append(float(token))
            if not math.isfinite(numbers[-1]):
                raise ValueError("path data holds a number that is not finite")
            if not command:
                raise ValueError("path data has numbers without a command")
            if len(numbers) == _NEEDS[command.upper()]:
                try:
                    self._do(command, numbers)
                except ArithmeticError:  # squares that are too large, or vanish
                    raise ValueError("path data holds numbers beyond measure") from None
                # More pairs after a move are lines (SVG 1.1, 8.3.2).
                command = {"M": "L", "m": "l"}.get(command, command)
                numbers = []
        self._finish(command, numbers)
        return [(points, closed) for points, closed in self.found if len(points) > 1]

    def _finish(self, command: str, numbers: list[float]) -> None:
        if numbers:
            raise ValueError(f"the last {command} of path data lacks numbers")

    def _close(self) -> None:
        if self.found:
            self.found[-1] = (self.found[-1][0], True)
        self.here, self.handle, self.kind = self.start, None, "Z"

    def _do(self, command: str, numbers: list[float]) -> None:
        kind, base = command.upper(), self.here if command.islower() else 0j
        if not self.found and kind != "M":
            raise ValueError("path data does not begin with M")
        if kind == "M":
            self.here = self.start = base + complex(*numbers)
            self.found.append(([_pair(self.here)], False))
            self._counted(1)
            self.handle, self.kind = None, kind
            return
        if self.kind == "Z":  # after a close the next subpath starts where that one did
            self.found.append(([_pair(self.start)], False))
        if kind == "H":
            self._to(complex(base.real + numbers[0], self.here.imag))
        elif kind == "V":
            self._to(complex(self.here.real, base.imag + numbers[0]))
        elif kind == "L":
            self._to(base + complex(*numbers))
        elif kind == "A":
            self._arc(numbers, base + complex(*numbers[5:]))
        else:
            self._curve(
                kind, [base + complex(*numbers[n : n + 2]) for n in range(0, len(numbers), 2)]
            )
            self.kind = kind
            return
        self.handle, self.kind = None, kind

    def _to(self, place: complex) -> None:
        self.found[-1][0].append(_pair(place))
        self._counted(1)
        self.here = place

    def _counted(self, more: int) -> None:
        self.count += more
        if self.count > self.most:
            raise ValueError(f"has more than {self.most} points")

    def _curve(self, kind: str, places: list[complex]) -> None:
        start = self.here
        smooth = {"S": "CS", "T": "QT"}.get(kind, "")
        if smooth:
            follows = self.handle is not None and self.kind in smooth
            first = 2 * start - self.handle if follows and self.handle is not None else start
            places = [first, *places]
        self.handle = places[-2]
        if len(places) == 2:  # a quadratic curve as a cubic one
            control, end = places
            places = [start + (control - start) * 2 / 3, end + (control - end) * 2 / 3, end]
        c1, c2, end = places
        # Straight lines stay within M h²/8 of a curve whose second derivative is at most M.
        bend = 6 * max(abs(start - 2 * c1 + c2), abs(c1 - 2 * c2 + end))
        self._flatten(
            lambda t: (
                (1 - t) ** 3 * start
                + 3 * (1 - t) ** 2 * t * c1
                + 3 * (1 - t) * t**2 * c2
                + t**3 * end
            ),
            math.sqrt(bend / (8 * self.tolerance)),
            end,
        )

    def _flatten(self, at: Callable[[float], complex], pieces: float, end: complex) -> None:
        many = max(1, math.ceil(pieces))
        if many > _MOST_PIECES:
            raise ValueError("holds a curve far too large for its tolerance")
        for n in range(1, many):
            self._to(at(n / many))
        self._to(end)

    def _arc(self, numbers: list[float], end: complex) -> None:
        """An elliptical arc by its centre (SVG 1.1, appendix F.6.5 and F.6.6)."""
        rx, ry, turn, large, sweep = abs(numbers[0]), abs(numbers[1]), *numbers[2:5]
        if rx == 0 or ry == 0 or end == self.here:
            self._to(end)
            return
        tilt = cmath.exp(1j * math.radians(turn))
        half = (self.here - end) / 2 / tilt
        over = (half.real / rx) ** 2 + (half.imag / ry) ** 2
        if over > 1:
            rx, ry, over = rx * math.sqrt(over), ry * math.sqrt(over), 1.0
        away = math.sqrt(max(1 / over - 1, 0.0)) * (1 if large != sweep else -1)
        middle = away * complex(rx * half.imag / ry, -ry * half.real / rx)
        centre = middle * tilt + (self.here + end) / 2
        a, b = (
            math.atan2((p.imag - middle.imag) / ry, (p.real - middle.real) / rx)
            for p in (half, -half)
        )
        swept = (b - a) % (2 * math.pi)
        if not sweep and swept > 0:
            swept -= 2 * math.pi
        # The sagitta of a chord over an angle h is at most r h²/8.
        pieces = abs(swept) / math.sqrt(8 * self.tolerance / max(rx, ry))
        self._flatten(
            lambda t: (
                centre + tilt * complex(rx * math.cos(a + t * swept), ry * math.sin(a + t * swept))
            ),
            pieces,
            end,
        )


def _pair(place: complex) -> Point:
    return place.real, place.imag
