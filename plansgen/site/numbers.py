"""Every number on a page opens to its method, its inputs and its source. This builds that view."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from plansgen.airframe.build import LiftingSurface
from plansgen.airframe.layout import TailVolume
from plansgen.dossier import Dossier
from plansgen.library.tables import Method, methods
from plansgen.quantity import Quantity, quantities
from plansgen.site.format import Shown, show

# What a method reads, as dotted paths from the number's own object (``self``) or the dossier.
# The stations of a surface are shown as a list.
INPUTS: Mapping[str, tuple[str, ...]] = {
    "aspect-ratio": ("self.span", "self.area"),
    "reference-area": ("wings",),
    "wing-loading": ("self.mass", "dossier.airframe.reference.area"),
    "cubic-wing-loading": ("self.mass", "dossier.airframe.reference.area"),
    "tail-arm": ("dossier.airframe.reference.mac", "dossier.airframe.reference.mac_x"),
    "tail-volume-horizontal": (
        "self.area",
        "self.arm",
        "dossier.airframe.reference.area",
        "dossier.airframe.reference.mac",
    ),
    "tail-volume-vertical": (
        "self.area",
        "self.arm",
        "dossier.airframe.reference.area",
        "dossier.airframe.reference.span",
    ),
    "balance-offset": ("ready.x", "target.x"),
    "battery-slide": ("self.offset", "ready.mass"),
    "ballast": ("ready.mass", "ready.x", "target.x", "self.at_x"),
    "balance-sensitivity": ("ready.mass", "ready.x", "self.nose_x", "self.tail_x"),
    "lateral-balance": ("ready.mass", "ready.y"),
    "balance-target-own": ("dossier.airframe.reference.mac", "dossier.airframe.reference.mac_x"),
    **dict.fromkeys(
        (
            "flight-stall",
            "flight-glide",
            "flight-drag",
            "flight-level-power",
            "flight-trim",
            "flight-turn",
        ),
        ("ready.mass", "dossier.airframe.reference.area", "dossier.flight.air.density"),
    ),
    **dict.fromkeys(
        ("neutral-point", "static-margin", "flight-forward-limit", "flight-aft-limit"),
        ("ready.x", "dossier.airframe.reference.mac_x", "dossier.airframe.reference.mac"),
    ),
    **dict.fromkeys(
        ("flight-modes", "flight-phugoid-rule", "flight-spiral-rule"),
        ("dossier.flight.cruise", "ready.mass", "ready.ixx", "ready.iyy", "ready.izz"),
    ),
    "structure-margin": ("self.stress", "self.strength"),
    **dict.fromkeys(("structure-scatter", "structure-damp"), ("self.reserve",)),
    "structure-reach": ("self.wanted", "self.now"),
    "structure-blunt": ("self.skin_reserve",),
    "structure-stick": ("self.edge", "self.flat"),
    **dict.fromkeys(("structure-section", "structure-torsion"), ("self.chord", "self.span")),
    "structure-wires": ("self.worst_force", "self.pull_strength", "self.push_strength"),
    **dict.fromkeys(
        ("structure-joint", "structure-glue"), ("self.bending", "self.shear", "self.share")
    ),
    "structure-hold-down": ("self.one_holds",),
    "structure-mount": ("self.stress", "self.strength", "self.area"),
    "structure-boom-authority": ("self.pitch", "self.yaw", "self.twist"),
    "structure-static-test": ("self.load_factor", "self.support"),
    "balance-target-rule": ("dossier.airframe.reference.mac", "dossier.airframe.reference.mac_x"),
}
_FROM_STATIONS = frozenset(
    {
        "planform-span-flat",
        "planform-span-projected",
        "planform-area-developed",
        "planform-area-projected",
        "mean-aerodynamic-chord",
        "mac-position",
        "taper-ratio",
        "quarter-chord-sweep",
        "dihedral",
        "equivalent-dihedral",
        "washout",
        "wetted-area-surface",
        "vee-tail-projection",
    }
)


@dataclass(frozen=True)
class NumberView:
    """A number ready for a template."""

    shown: Shown
    label: str
    method_key: str
    method: Method
    inputs: tuple[str, ...]


class Numbers:
    """Makes number views for one dossier."""

    def __init__(self, dossier: Dossier) -> None:
        self._dossier = dossier

    def view(self, owner: Any, field: str, method: str = "") -> NumberView:
        """The view of one marked field of a result.

        method: replaces the mark's own, where a line knows better (a weighed part).
        """
        mark = quantities(owner.__class__)[field]
        key = method or mark.method
        return NumberView(
            shown=show(getattr(owner, field), mark.shown or mark.unit),
            label=mark.label,
            method_key=key,
            method=methods()[key],
            inputs=tuple(self._inputs(owner, field, key)),
        )

    def label(self, owner: Any, field: str) -> str:
        """Only the name of a marked field."""
        return quantities(owner.__class__)[field].label

    def shown(self, owner: Any, field: str) -> Shown:
        """Only the text of a marked field."""
        mark = quantities(owner.__class__)[field]
        return show(getattr(owner, field), mark.shown or mark.unit)

    def maybe(self, owner: Any, field: str) -> str:
        """The text of a marked field, or a dash where there is none."""
        return "–" if getattr(owner, field) is None else self.shown(owner, field).metric

    def _inputs(self, owner: Any, field: str, key: str) -> list[str]:
        if key in _FROM_STATIONS:
            return self._stations(owner)
        texts = []
        for path in INPUTS.get(key, ()):
            if path == "wings":
                texts += [text for surface in self._wings() for text in _station_list(surface)]
                continue
            holder, name = self._resolve(owner, path)
            if holder is None or (holder is owner and name == field):
                continue
            mark = quantities(holder.__class__).get(name)
            if mark is not None and getattr(holder, name) is not None:
                texts.append(f"{mark.label} {_both(getattr(holder, name), mark)}")
        return texts

    def _resolve(self, owner: Any, path: str) -> tuple[Any, str]:
        balance = self._dossier.balance
        roots = {
            "self": owner,
            "dossier": self._dossier,
            "target": balance.target,
            "ready": balance.ready.state if balance.ready else None,
        }
        first, *middle, last = path.split(".")
        holder = roots[first]
        for name in middle:
            holder = getattr(holder, name)
        return holder, last

    def _wings(self) -> list[LiftingSurface]:
        airframe = self._dossier.airframe
        return [airframe.surface(key) for key in airframe.reference.wings]

    def _stations(self, owner: Any) -> list[str]:
        surfaces = [s for s in self._dossier.airframe.surfaces if s.planform is owner]
        if isinstance(owner, TailVolume):
            surfaces = [self._dossier.airframe.surface(owner.surface)]
        return [text for surface in surfaces or self._wings() for text in _station_list(surface)]


def _both(value: float, mark: Quantity) -> str:
    return show(value, mark.shown or mark.unit).metric


def _station_list(surface: LiftingSurface) -> list[str]:
    """Stations of a surface in words, root first."""
    return [
        f"{surface.title}, {show(station.span, 'm').metric} out: "
        f"leading edge x {show(station.x, 'm').metric}, "
        f"height {show(station.z, 'm').metric}, chord {show(station.chord, 'm').metric}"
        for station in surface.stations
    ]
