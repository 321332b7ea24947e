"""Motor mounts: does the glued face hold thrust, torque, and the motor's weight in a landing.

The face is taken as a square. Thrust pulls (or, of a pusher, presses), the weight times the load
factor shears and, from its overhang, pries; the torque twists. Pull and shear add as squares.

Source: combined stresses of a rectangular section (any text of strength of materials).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from plansgen.library.bending import GRAVITY
from plansgen.library.models import DesignFile
from plansgen.library.models.masses import Item
from plansgen.library.tables import Material
from plansgen.quantity import Quantity
from plansgen.structure.elastic import solid_of
from plansgen.structure.glue import least, shear_strength
from plansgen.structure.reserve import reserve_factor

OVERHANG = 0.015  # m, where the motor's length is not given (estimate)
TORQUE_SHARE = 0.07  # torque over thrust and diameter: C_P/(2π C_T), 0.45/2π (from memory)
_LARGEST = 0.1  # m²; no larger glued face is advised
_PRESS = 0.5  # of its pull that thrust of a pusher still counts: it pulls when it brakes (estimate)


@dataclass(frozen=True)
class MountLoad:
    """What a mount carries. thrust, weight: forces, weight with the load factor in it [N].

    torque: of the propeller. prying: of the weight on its overhang. [N m]
    """

    thrust: Annotated[float, Quantity("N", "Thrust", "structure-mount")]
    weight: Annotated[float, Quantity("N", "Weight in the landing", "structure-mount")]
    torque: Annotated[float, Quantity("N m", "Torque", "structure-mount")]
    prying: Annotated[float, Quantity("N m", "Prying moment", "structure-mount")]


@dataclass(frozen=True)
class MountResult:
    """One mount.

    first: what gives first, the glue or what it is glued to. least_area: for the wanted reserve;
    None where none is enough.
    """

    item: str
    glue: str
    to: str
    area: Annotated[float, Quantity("m²", "Glued area", "given-by-designer")]
    load: MountLoad
    first: str
    strength: Annotated[float, Quantity("Pa", "Strength of what gives", "structure-mount")]
    stress: Annotated[float, Quantity("Pa", "Stress in the glued face", "structure-mount")]
    reserve: Annotated[float, Quantity("1", "Reserve factor", "structure-mount")]
    least_area: Annotated[float | None, Quantity("m²", "Least glued area", "structure-mount")]


def mount_stress(load: MountLoad, *, area: float) -> float:
    """Greatest stress in a square glued face. [Pa] area: [m²]

    σ = T/A + 6 M/a³, τ = n m g/A + Q r/J with r = a/√2, J = a⁴/6; together √(σ² + τ²).
    """
    side = math.sqrt(area)
    pull = load.thrust / area + 6 * load.prying / side**3
    shear = load.weight / area + load.torque * (side / math.sqrt(2)) / (side**4 / 6)
    return math.hypot(pull, shear)


def mount_load(
    item: Item, *, propeller: Item | None, thrust: float, load_factor: float, pusher: bool
) -> MountLoad:
    """What one motor puts on its mount.

    thrust: static, of one propeller [N]. load_factor: of the hardest landing, over gravity.
    """
    mass = item.mass + (propeller.mass if propeller else 0.0)
    weight = mass * GRAVITY * load_factor
    overhang = item.size.x / 2 if item.size else OVERHANG
    diameter = (propeller.diameter or 0.0) if propeller else 0.0
    return MountLoad(
        thrust=thrust * (_PRESS if pusher else 1.0),
        weight=weight,
        torque=TORQUE_SHARE * thrust * diameter,
        prying=weight * overhang,
    )


def _propeller_of(design: DesignFile, motor: Item) -> Item | None:
    """The nearest propeller."""

    def apart(item: Item) -> tuple[float, str]:
        a, b = item.at, motor.at
        return math.dist((a.x, a.y, a.z), (b.x, b.y, b.z)), item.name

    return min((i for i in design.items if i.kind == "propeller"), key=apart, default=None)


def weaker(glue: Material, to: Material, *, damp: bool = False) -> tuple[str, float] | None:
    """The weaker of a glue and what it is glued to, and its strength. [Pa]"""
    solid = solid_of(glue, damp=damp)
    known = [(glue.name, solid.shear)] if solid is not None else []
    under = shear_strength(to, damp=damp)
    known += [under] if under is not None else []
    return min(known, key=lambda pair: pair[1], default=None)


def work_out_mounts(
    design: DesignFile,
    materials: Mapping[str, Material],
    *,
    thrust: float,
    load_factor: float,
    damp: bool = False,
) -> tuple[MountResult, ...]:
    """Every motor mount of a design. Those of unknown strength are left out.

    thrust: static, of one propeller [N]. load_factor: of the hardest landing, over gravity.
    """
    wanted = design.structure.reserve
    motors = {item.name: item for item in design.items if item.kind == "motor"}
    found = []
    for mount in design.structure.mounts:
        motor, first = (
            motors[mount.item],
            weaker(materials[mount.glue], materials[mount.to], damp=damp),
        )
        if first is None:
            continue
        name, strength = first
        propeller = _propeller_of(design, motor)
        pusher = propeller is not None and propeller.at.x > motor.at.x
        load = mount_load(
            motor, propeller=propeller, thrust=thrust, load_factor=load_factor, pusher=pusher
        )
        stress = mount_stress(load, area=mount.area)
        found.append(
            MountResult(
                item=mount.item,
                glue=mount.glue,
                to=mount.to,
                area=mount.area,
                load=load,
                first=name,
                strength=strength,
                stress=stress,
                reserve=reserve_factor(strength=strength, load=stress),
                least_area=least_area(load, strength=strength, wanted=wanted),
            )
        )
    return tuple(found)


def least_area(load: MountLoad, *, strength: float, wanted: float) -> float | None:
    """The least square face with the wanted reserve. [m²] None where none is enough."""
    return least(
        lambda area: mount_stress(load, area=area) * wanted <= strength, low=1e-5, high=_LARGEST
    )
