"""The entries of a started design file, as plain data in millimetres, grams and degrees."""

from __future__ import annotations

import math
from dataclasses import dataclass

from plansgen.starter.entries import Entry, Fit, Sheet, number, point
from plansgen.starter.layouts import PROPELLER_SHARE, Outline, Placed
from plansgen.starter.power import power_entry, servo_entry
from plansgen.starter.sizing import Equipment, equipment_for
from plansgen.starter.strength import FOLD_SHARE, Strength
from plansgen.starter.targets import Target

_ELEVON_TRAVEL = 28  # °, for two sticks to share (estimate)
_LONG_ARM, _SHORT_HORN = 12, 14  # mm; 33° of the servo for it (estimate)
_ARM, _HORN = 10, 16  # mm; 33° of the servo for 20° of the surface (estimate)
_DRIVE = ("outrunner motor", "propeller with adapter", "speed controller")
_PUSHING = ("outrunner motor", "pusher propeller", "speed controller")


@dataclass(frozen=True)
class Model:
    """One proportioned model with its nose and battery in place.

    target: None while it is not known, and where the trade's starting rule holds. stall: its
    stall speed where that is faster than a person throws, else None. [m/s] mass: flying, for its
    spars; None while it is an estimate. [kg]
    """

    outline: Outline
    sheet: Sheet
    powered: bool
    fit: Fit
    target: Target | None = None
    stall: float | None = None
    mass: float | None = None

    @property
    def equipment(self) -> Equipment:
        """Estimated masses of what is bought."""
        return equipment_for(wing_area=self.outline.wing_area, powered=self.powered)

    @property
    def strength(self) -> Strength:
        """What holds it, by hand sums."""
        return Strength(self.outline, self.sheet, self.mass or self.equipment.flying / 1000)

    @property
    def battery_size(self) -> tuple[int, int, int]:
        """Length, width, height of the battery; scaled from one of 118 g, 74 × 34 × 24 mm."""
        scale = (self.equipment.battery / 118) ** (1 / 3)
        return round(74 * scale), round(34 * scale), round(24 * scale)

    @property
    def width(self) -> int:
        """Outside width of the body: a quarter chord, and the battery fits in. [mm]"""
        return round(
            max(0.25 * self.outline.chord, self.battery_size[1] + 2 * self.sheet.thickness + 6)
        )

    @property
    def height(self) -> int:
        """Outside height of the body. [mm]"""
        least = self.battery_size[2] + 2 * self.sheet.thickness + 15
        return round(max(0.33 * self.outline.chord, least))

    @property
    def is_pusher(self) -> bool:
        """Whether the motor sits at the back, where these two layouts need its mass."""
        return self.powered and self.outline.layout in ("tailless", "canard")

    @property
    def end(self) -> int:
        """Length of the body. [mm]"""
        return self.fit.nose + max(self.outline.end, self.outline.wide_to + 10)

    # --- surfaces ----------------------------------------------------------------------------

    def surfaces(self) -> list[Entry]:
        """Every surface, in the order of the layout."""
        return [self._surface(placed) for placed in self.outline.surfaces]

    def _seat(self, placed: Placed) -> float:
        base = self.height / 2 if placed.seat == "top" else -self.height / 2
        if placed.out:  # a fin at the tip of the first surface, a third of it below
            wing = self.outline.surfaces[0]
            rise = placed.out * math.sin(math.radians(wing.dihedral))
            return base + rise - 0.3 * placed.panel.half
        return base + placed.raised

    def _section(self, chord: float) -> Entry:
        height = FOLD_SHARE * chord - 2 * self.sheet.thickness
        return {
            "kind": "folded sheet",
            "thickness": number(self.sheet.thickness, 3),
            "spar_height": number(height),
        }

    def _surface(self, placed: Placed) -> Entry:
        panel, folded = placed.panel, self.strength.is_folded(placed)
        plate = {"kind": "plate", "thickness": number(self.sheet.thickness, 3)}
        root: Entry = {"span": 0, "chord": panel.root}
        tip: Entry = {"span": panel.half, "x": panel.back, "chord": panel.tip}
        upright = placed.role == "fin"
        tip["dihedral"] = 90 if upright else number(placed.dihedral)
        if placed.washout:
            tip["washout"] = number(placed.washout)
        if folded:
            tip["section"] = self._section(panel.tip)
        return {
            "key": placed.key,
            "comment": placed.comment,
            "role": placed.role,
            "at": point(self.fit.nose + placed.x, placed.out, self._seat(placed)),
            "incidence": number(placed.incidence),
            "section": self._section(panel.root) if folded else plate,
            "stations": [root, tip],
            "controls": self._controls(placed),
            "parts": self._surface_parts(placed, folded=folded),
        }

    def _controls(self, placed: Placed) -> Entry:
        half = placed.panel.half
        if not placed.control:
            return {}
        ends = {"elevon": (0.4, 0.95), "rudder": (0.1, 1.0), "elevator": (0.0, 1.0)}
        start, stop = ends[placed.control]
        if placed.role == "wing" and placed.control == "elevator":
            start, stop = 0.1, 0.6
        share = 0.22 if placed.role == "wing" else 0.35
        arm, horn = (_ARM, _HORN) if placed.control != "elevon" else (_LONG_ARM, _SHORT_HORN)
        shared = {"travel": _ELEVON_TRAVEL} if placed.control == "elevon" else {}
        return {
            placed.control: {
                "kind": placed.control,
                "from": round(start * half),
                "to": round(stop * half),
                "chord": share,
                **shared,
                "servo": f"servo, {placed.control}",
                "arm": arm,
                "horn": horn,
            }
        }

    def _surface_parts(self, placed: Placed, *, folded: bool) -> list[Entry]:
        name = placed.key.replace("_", " ")
        skins = {"name": f"{name} skins", "cover": "both skins", "grain": "along"}
        plate = {"name": name, "cover": "plate", "grain": "along"}
        parts: list[Entry] = [{**(skins if folded else plate), "material": self.sheet.material}]
        return [*parts, *self.strength.spar(placed, name, folded=folded)]

    def stick(self, span: float) -> Entry:
        """Cross-section of a wood strip for a span (estimate, not a strength calculation)."""
        return {"width": max(3, round(0.008 * span)), "height": max(1.5, number(0.0025 * span))}

    # --- body --------------------------------------------------------------------------------

    def stations(self) -> list[Entry]:
        """Cross-sections of the body; its top is straight from the nose to the tail."""
        wide, high, nose = self.width, self.height, self.fit.nose
        small = round(0.4 * high)
        return [
            {"x": 0, "width": round(0.75 * wide), "height": round(0.75 * high)},
            {"x": round(0.6 * nose), "width": wide, "height": high},
            {"x": nose + self.outline.wide_to, "width": wide, "height": high},
            {
                "x": self.end,
                "width": round(0.4 * wide),
                "height": small,
                "z": number((high - small) / 2),
            },
        ]

    def body_parts(self) -> list[Entry]:
        """Sheet parts of the body."""
        sheet = self.sheet.material
        former = round(0.6 * self.width * self.height, -1)
        middle = self.fit.nose + round(0.4 * self.outline.wide_to)
        mount = "rear" if self.is_pusher else "front"
        parts: list[Entry] = [
            {"name": "sides", "material": sheet, "cover": "sides"},
            {"name": "bottom", "material": sheet, "cover": "bottom"},
            {"name": "top and hatch", "material": sheet, "cover": "top", "share": 0.85},
            {
                "name": "formers",
                "material": sheet,
                "area": number(former),
                "count": 3,
                "at": point(middle),
            },
        ]
        parts += self.strength.longerons(
            nose=self.fit.nose, end=self.end, width=self.width, height=self.height
        )
        if not self.powered:
            return [*parts, {"name": "nose former", "material": sheet, "cover": "front"}]
        return [*parts, {"name": "motor former", "material": "birch-ply-3mm", "cover": mount}]

    def struts(self) -> list[Entry]:
        """Struts between two wings, each with its mirror image; none for other layouts."""
        if not self.outline.struts:
            return []
        upper, lower = self.outline.surfaces[:2]
        half = upper.panel.half
        return [
            {
                "name": name,
                "material": "pine",
                "size": self.stick(upper.panel.span),
                "line": [
                    self._foot(lower, side * out, share),
                    self._foot(upper, side * out, share),
                ],
            }
            for name, out in (("cabane strut", self.width / 2), ("interplane strut", 0.6 * half))
            for share in (0.2, 0.65)
            for side in (1, -1)
        ]

    def _foot(self, wing: Placed, y: float, share: float) -> Entry:
        out = abs(y) / wing.panel.half
        edge = self.fit.nose + wing.x + out * wing.panel.back
        chord = wing.panel.root + out * (wing.panel.tip - wing.panel.root)
        rise = abs(y) * math.tan(math.radians(wing.dihedral))
        return point(edge + share * chord, y, self._seat(wing) + rise)

    # --- equipment ---------------------------------------------------------------------------

    def items(self) -> list[Entry]:
        """Bought things; every mass is an estimate."""
        items = [*self._power(), *self._radio()]
        if self.fit.ballast is not None:
            mass, x = self.fit.ballast
            items.append(
                {
                    "name": "ballast, glued in",
                    "kind": "ballast",
                    "mass": number(mass),
                    "at": point(x),
                }
            )
        return items

    def _power(self) -> list[Entry]:
        if not self.powered:
            return []
        masses = self.equipment
        scale = (masses.motor / 52) ** (1 / 3)
        length, across = round(30 * scale), round(28 * scale)
        motor, propeller, controller = -length / 2, -length - 8, 0.5 * self.fit.nose
        line = 0.0  # height of the thrust line
        if self.is_pusher:
            motor, propeller = self.end + length / 2, self.end + length + 8
            controller = self.fit.nose + 0.8 * self.outline.wide_to
            line = 0.3 * self.height
        return [
            {
                "name": self.drive[0],
                "kind": "motor",
                "mass": number(masses.motor),
                "at": point(motor, 0, line),
                "size": {"x": length, "y": across, "z": across},
            },
            {
                "name": self.drive[1],
                "kind": "propeller",
                "mass": number(masses.propeller),
                "at": point(propeller, 0, line),
                "diameter": self.propeller,
            },
            {
                "name": self.drive[2],
                "kind": "speed controller",
                "mass": number(masses.controller),
                "at": point(round(controller), 0, round(0.3 * self.height)),
            },
        ]

    def _radio(self) -> list[Entry]:
        masses, nose, wide_to = self.equipment, self.fit.nose, self.outline.wide_to
        servo, rod = self._servo_places()
        one = {"kind": "servo", "mass": number(masses.servo), "servo": servo_entry(masses.servo)}
        servos: list[Entry] = [{"name": "servo, elevon", **one, "mirror": True, "at": servo}]
        if self.outline.layout != "tailless":
            across = {**servo, "y": -servo["y"]}
            servos = [
                {"name": "servo, elevator", **one, "at": across},
                {"name": "servo, rudder", **one, "at": servo},
            ]
        return [
            *servos,
            {
                "name": "push rod and horn",
                "kind": "linkage",
                "mass": number(masses.rod),
                "mirror": True,
                "at": rod,
            },
            {
                "name": "receiver",
                "kind": "receiver",
                "mass": number(masses.receiver),
                "at": point(nose + round(0.4 * wide_to)),
            },
        ]

    def _servo_places(self) -> tuple[Entry, Entry]:
        """Servos under the wing with rods to the tail, or out in a tailless wing."""
        nose, wide_to = self.fit.nose, self.outline.wide_to
        if self.outline.layout == "tailless":
            panel = self.outline.surfaces[0].panel
            out, edge = 0.35 * panel.half, nose + 0.35 * panel.back
            height = self.height / 2
            return (
                point(round(edge + 0.35 * panel.root), round(out), height),
                point(round(edge + 0.6 * panel.root), round(out), height),
            )
        servo = nose + round(0.7 * wide_to)
        side = max(1, round(0.2 * self.width))
        middle = servo if self.outline.layout == "canard" else (servo + self.end) // 2
        return point(servo, side), point(middle, side, round(0.2 * self.height))

    @property
    def drive(self) -> tuple[str, str, str]:
        """Names of motor, propeller and controller."""
        return _PUSHING if self.is_pusher else _DRIVE

    @property
    def propeller(self) -> int:
        """Diameter of the propeller. [mm]"""
        return round(PROPELLER_SHARE * max(one.panel.span for one in self.outline.surfaces))

    @property
    def controls(self) -> frozenset[str]:
        """Kinds of its controls."""
        return frozenset(one.control for one in self.outline.surfaces if one.control)

    def power(self) -> Entry:
        """What drives it; empty for a glider."""
        if not self.powered:
            return {}
        mass = self.mass or self.equipment.flying / 1000
        cells = self.battery()["cells"]
        return power_entry(mass=mass, diameter=self.propeller, cells=cells, names=self.drive)

    # --- battery -----------------------------------------------------------------------------

    def bay(self) -> Entry:
        """Where the battery may slide: from behind the nose former to under the wing."""
        length = self.battery_size[0]
        first = round(length / 2 + self.sheet.thickness + 4)
        last = max(first, self.fit.nose + round(0.6 * self.outline.wide_to))
        x = self.fit.battery if self.fit.battery is not None else round(0.6 * self.fit.nose)
        height = -round(0.15 * self.height)
        return {"from": first, "to": last, "x": number(min(max(x, first), last)), "z": height}

    def battery(self) -> Entry:
        """The usual battery, by its mass: lithium polymer, about 120 Wh/kg (estimate)."""
        mass = self.equipment.battery
        span = max(surface.panel.span for surface in self.outline.surfaces)
        cells = (2 if span < 800 else 3 if span < 1800 else 4) if self.powered else 2
        capacity = max(50, round(mass * 120 / 3.7 / cells, -1))
        x, y, z = self.battery_size
        return {
            "name": f"lithium polymer, {cells} cells, about {capacity:g} mAh",
            "mass": number(mass),
            "cells": cells,
            "capacity": int(capacity),
            "chemistry": "lithium polymer",
            "size": {"x": x, "y": y, "z": z},
        }

    def balance(self) -> Entry:
        """Target, limits and reason, where the layout has them, and the places for ballast."""
        target = self.target
        places: Entry = {}
        if target is not None:
            places = {
                name: {"root": number(getattr(target, name))}
                for name in ("target", "forward", "aft")
            }
            places["why"] = target.why
        return {**places, "nose": point(8), "tail": point(self.end - 8, 0, self.height * 0.3)}
