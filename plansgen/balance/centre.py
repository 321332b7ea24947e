"""Mass, centre of gravity and inertia of the model in each state it is weighed or flown in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from plansgen.airframe.layout import Reference
from plansgen.balance.elements import Moments, inertia_about
from plansgen.quantity import Quantity


@dataclass(frozen=True)
class MassState:
    """One state: empty, or ready to fly with one of the batteries.

    mac_share: balance point as a share of the mean aerodynamic chord. from_root: aft of the wing's
    root leading edge, where a builder puts a finger. ixx, iyy, izz: about the centre of gravity, in
    roll, pitch and yaw; ixz their product.
    """

    name: str
    mass: Annotated[float, Quantity("kg", "Mass", "centre-of-gravity")]
    x: Annotated[float, Quantity("m", "Balance point from the datum", "centre-of-gravity")]
    y: Annotated[float, Quantity("m", "Balance point, to starboard", "lateral-balance")]
    z: Annotated[float, Quantity("m", "Balance point, height", "centre-of-gravity")]
    mac_share: Annotated[
        float,
        Quantity("1", "Balance point on the mean aerodynamic chord", "centre-of-gravity", "%"),
    ]
    from_mac: Annotated[
        float,
        Quantity(
            "m", "Balance point aft of the mean aerodynamic chord's leading edge", "mac-position"
        ),
    ]
    from_root: Annotated[
        float,
        Quantity("m", "Balance point aft of the wing's root leading edge", "centre-of-gravity"),
    ]
    ixx: Annotated[float, Quantity("kg m²", "Inertia in roll", "inertia")]
    iyy: Annotated[float, Quantity("kg m²", "Inertia in pitch", "inertia")]
    izz: Annotated[float, Quantity("kg m²", "Inertia in yaw", "inertia")]
    ixz: Annotated[float, Quantity("kg m²", "Product of inertia, roll and yaw", "inertia")]
    wing_loading: Annotated[float, Quantity("kg/m²", "Wing loading", "wing-loading")]
    cubic_loading: Annotated[float, Quantity("kg/m³", "Cubic wing loading", "cubic-wing-loading")]


def state_of(name: str, moments: Moments, reference: Reference) -> MassState:
    """Read the balance off the moments."""
    place = moments.centre
    inertia = inertia_about(moments, place)
    x, y, z = (float(value) for value in place)
    return MassState(
        name=name,
        mass=moments.mass,
        x=x,
        y=y if abs(y) > 1e-9 else 0.0,  # the last digits of a mirrored sum
        z=z,
        mac_share=reference.share_of_mac(x),
        from_mac=x - reference.mac_x,
        from_root=x - reference.root_x,
        ixx=float(inertia[0, 0]),
        iyy=float(inertia[1, 1]),
        izz=float(inertia[2, 2]),
        ixz=-float(inertia[0, 2]),
        wing_loading=moments.mass / reference.area,
        cubic_loading=moments.mass / reference.area**1.5,
    )
