"""The page on which a builder puts in what their own parts weigh."""

from __future__ import annotations

from typing import Any

from plansgen.balance.advice import BallastPlaces
from plansgen.balance.bench import BenchModel
from plansgen.dossier import Dossier
from plansgen.library.design import Design
from plansgen.library.models import BatteryBay


def bench_model(dossier: Dossier) -> BenchModel | None:
    """What does not change with a builder's masses; None when the design gives no masses."""
    sensitivity, flight = dossier.balance.sensitivity, dossier.flight
    if dossier.balance.ready is None or sensitivity is None:
        return None
    reference = dossier.airframe.reference
    return BenchModel(
        reference=reference,
        target=dossier.balance.target,
        places=BallastPlaces(sensitivity.nose_x, sensitivity.tail_x),
        neutral_x=reference.x_of_share(flight.neutral_share) if flight else None,
        lift_max=flight.stall.lift_max if flight else None,
        air=flight.air if flight else None,
    )


def model_data(model: BenchModel) -> dict[str, Any]:
    """The same for the browser, under the names that its program uses."""
    reference, target = model.reference, model.target
    return {
        "area": reference.area,
        "span": reference.span,
        "mac": reference.mac,
        "macX": reference.mac_x,
        "rootX": reference.root_x,
        "target": target and {"x": target.x, "forward": target.forward_x, "aft": target.aft_x},
        "places": {"nose": model.places.nose, "tail": model.places.tail},
        "neutralX": model.neutral_x,
        "liftMax": model.lift_max,
        "density": model.air and model.air.density,
    }


def bench_data(design: Design, dossier: Dossier) -> dict[str, Any] | None:
    """Everything that the page's program needs; None when there is nothing to put in."""
    model = bench_model(dossier)
    if model is None:
        return None
    bay = design.file.bay
    return {
        "design": dossier.slug,
        "name": dossier.name,
        "revision": dossier.revision,
        "model": model_data(model),
        "things": [
            {
                "name": line.name,
                "group": line.group,
                "weighed": line.origin == "measured",
                "mass": line.mass,
                "x": line.x,
                "y": line.y,
                "z": line.z,
            }
            for line in dossier.balance.lines
        ],
        "batteries": [
            {"name": loading.battery, "mass": loading.battery_mass, "x": loading.battery_x}
            for loading in dossier.balance.loadings
            if loading.battery is not None and loading.variant is None
        ],
        "bay": bay and _bay_data(bay),
    }


def _bay_data(bay: BatteryBay) -> dict[str, float]:
    return {"from": bay.from_, "to": bay.to, "x": bay.usual_x, "y": bay.y, "z": bay.z}
