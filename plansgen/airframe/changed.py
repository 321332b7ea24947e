"""An airframe with one surface moved or made larger, for asking what that would do."""

from __future__ import annotations

from dataclasses import replace

from plansgen.airframe.build import Airframe, LiftingSurface
from plansgen.airframe.layout import tail_volumes
from plansgen.airframe.planform import work_out_planform

Point = tuple[float, float, float]


def with_surface_changed(
    airframe: Airframe, key: str, *, aft: float = 0.0, size: float = 1.0
) -> Airframe:
    """The same airframe with one tail surface further aft, or larger in the same shape.

    aft: by how much. [m] size: lengths over what they are; it grows about its quarter chord and its
    root. Bodies, wetted and side areas are left as they are.

    Raises:
        KeyError: there is no such surface.
        ValueError: the size is not above 0.
    """
    if not size > 0.0:
        raise ValueError(f"size is {size:g}, but must be above 0")
    changed = _changed(airframe.surface(key), aft, size)
    surfaces = tuple(changed if s.key == key else s for s in airframe.surfaces)
    return replace(airframe, surfaces=surfaces, tails=tail_volumes(surfaces, airframe.reference))


def _changed(surface: LiftingSurface, aft: float, size: float) -> LiftingSurface:
    root = surface.stations[0]
    fixed = (surface.planform.quarter_chord_x, root.y, root.z)

    def place(point: Point) -> Point:
        x, y, z = (f + size * (p - f) for p, f in zip(point, fixed, strict=True))
        return x + aft, y, z

    stations = []
    for station in surface.stations:
        x, y, z = place((station.x, station.y, station.z))
        span, chord = station.span * size, station.chord * size
        stations.append(replace(station, span=span, x=x, y=y, z=z, chord=chord))
    controls = tuple(
        replace(
            control,
            inboard=control.inboard * size,
            outboard=control.outboard * size,
            area=control.area * size**2,
            hinge=tuple(place(point) for point in control.hinge),
        )
        for control in surface.controls
    )
    planform = work_out_planform(stations, mirrored=surface.mirrored, weight=surface.weight)
    return replace(surface, stations=tuple(stations), planform=planform, controls=controls)
