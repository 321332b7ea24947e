"""Small designs for tests, as the plain data that a design file holds. Lengths in mm, masses in g.

Every builder returns fresh data, so that a test may change it. The aeroplanes are invented.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from plansgen.airframe.build import Airframe, build_airframe
from plansgen.balance.result import BalanceResult, work_out_balance
from plansgen.dossier import Dossier, work_out
from plansgen.library.design import Design, Points, Step
from plansgen.library.models import DesignFile, FlightLog, StepHead
from plansgen.library.stock import stock_with
from plansgen.library.tables import Material
from plansgen.library.units import FileUnits

Raw = dict[str, Any]
Row = tuple[float, float, float]

BOARD = {"name": "board", "kind": "sheet", "areal_density": 460, "thickness": 5}
PINE = {"name": "pine", "kind": "stick", "density": 500}


# --- pieces ----------------------------------------------------------------------------------


def surface(role: str, rows: Sequence[Row], **more: Any) -> Raw:
    """A flat surface from rows of distance out, leading edge and chord; a fin stands upright."""
    out = "z" if role == "fin" else "y"
    stations = [{out: distance, "x": x, "chord": chord} for distance, x, chord in rows]
    return {"role": role, "section": plate(), "stations": stations, **more}


def bent(role: str, rows: Sequence[tuple[float, float, float]], **more: Any) -> Raw:
    """A surface from rows of developed distance out, dihedral and chord."""
    stations: list[Raw] = [
        {"span": span, "dihedral": dihedral, "chord": chord} for span, dihedral, chord in rows
    ]
    return {"role": role, "section": plate(), "stations": stations, **more}


def plate() -> Raw:
    """A flat sheet."""
    return {"kind": "plate", "thickness": 5}


def skin(cover: str | None = "plate", **more: Any) -> Raw:
    """A part of sheet laid over a surface or body; cover None where ``more`` says how much."""
    return {"name": f"{cover} of board", "material": "board", "cover": cover, **more}


def item(name: str = "servo", mass: float = 9, **more: Any) -> Raw:
    """A bought thing; at its place x, y, z."""
    place = {axis: more.pop(axis) for axis in ("x", "y", "z") if axis in more}
    return {"name": name, "mass": mass, "at": place or {"x": 0}, **more}


def battery(name: str = "three cells", mass: float = 120, **more: Any) -> Raw:
    """A battery."""
    return {"name": name, "mass": mass, **more}


# --- whole designs ---------------------------------------------------------------------------


def bare(surfaces: Mapping[str, Raw], **more: Any) -> Raw:
    """A design file of those surfaces and nothing more than it must say."""
    return {
        "plansgen": 1,
        "name": "Sanderling",
        "summary": "A small test model that only exists in tests.",
        "status": "sketch",
        "skill": "first build",
        "date": "2026-05-30",
        "credits": {"designer": "M. Sandling"},
        "materials": {"board": dict(BOARD), "pine": dict(PINE)},
        "surfaces": dict(surfaces),
        **more,
    }


def wing(**more: Any) -> Raw:
    """A straight wing of 1 m span and 200 mm chord, its leading edge 150 mm aft of the datum."""
    return surface("wing", [(0, 0, 200), (500, 0, 200)], at={"x": 150}, **more)


def glider() -> Raw:
    """The least conventional glider: wing, tailplane, fin, nose weight."""
    return bare(
        {
            "wing": wing(parts=[skin()]),
            "tailplane": surface(
                "tailplane", [(0, 0, 120), (180, 20, 100)], at={"x": 650}, parts=[skin()]
            ),
            "fin": surface("fin", [(0, 0, 120), (120, 40, 80)], at={"x": 650}, parts=[skin()]),
        },
        items=[item("nose weight", 40, x=10, kind="ballast")],
    )


def trainer() -> Raw:
    """A powered conventional model with every kind of part, item and allowance."""
    raw = glider()
    raw["surfaces"]["wing"] |= {
        "section": {"kind": "folded sheet", "thickness": 5, "spar_height": 12},
        "incidence": 2,
        "controls": {"ailerons": {"kind": "aileron", "from": 250, "to": 490, "chord": 0.2}},
        "parts": [
            skin("both skins"),
            {
                "name": "spar",
                "material": "pine",
                "run": {"from": 0, "to": 450},
                "size": {"width": 5, "height": 10},
            },
        ],
    }
    frames = [
        {"x": 0, "width": 50, "height": 60},
        {"x": 300, "width": 60, "height": 80},
        {"x": 760, "width": 30, "height": 40, "z": 10},
    ]
    raw["bodies"] = {"fuselage": {"role": "fuselage", "stations": frames, "parts": [skin("all")]}}
    raw["items"] = [
        item("motor", 50, x=-20, kind="motor", size={"x": 30, "y": 28, "z": 28}),
        item("propeller", 12, x=-45, kind="propeller", diameter=200),
        item("wheel", 15, x=180, y=90, z=-110, mirror=True, kind="undercarriage"),
        item("servo", 9, x=260, measured=True, kind="servo"),
    ]
    raw["parts"] = [
        {
            "name": "wing dowels",
            "material": "pine",
            "length": 90,
            "at": {"x": 160, "z": 40},
            "size": {"diameter": 6},
            "count": 2,
        }
    ]
    raw["batteries"] = [battery(size={"x": 70, "y": 34, "z": 24}), battery("two cells", 80)]
    raw["bay"] = {"from": 30, "to": 160, "z": -10}
    raw["allowance"] = {"glue": 0.1, "paint": "40 g/m2"}
    return raw


def powered() -> Raw:
    """The trainer with a controller for its motor, and what drives it."""
    raw = trainer()
    raw["items"].append(item("controller", 25, x=60, kind="speed controller"))
    for one in raw["batteries"]:
        one |= {"cells": 3 if "three" in one["name"] else 2, "capacity": 1300}
    raw["power"] = {
        "drives": [
            {
                "motor": "motor",
                "propeller": "propeller",
                "controller": "controller",
                "kv": 1100,
                "no_load_current": 0.8,
                "no_load_voltage": 10,
                "resistance": 0.12,
                "pitch": 110,
            }
        ]
    }
    return raw


def tailless() -> Raw:
    """A swept wing with fins at its tips."""
    return bare(
        {
            "wing": surface("wing", [(0, 0, 260), (500, 220, 150)], at={"x": 100}, parts=[skin()]),
            "fins": surface(
                "fin", [(0, 0, 140), (120, 60, 80)], at={"x": 320, "y": 500}, parts=[skin()]
            ),
        },
        items=[item("nose weight", 60, x=20)],
    )


def canard() -> Raw:
    """A small surface ahead of the wing."""
    return bare(
        {
            "foreplane": surface("canard", [(0, 0, 90), (180, 10, 80)], parts=[skin()]),
            "wing": surface("wing", [(0, 0, 200), (500, 60, 140)], at={"x": 450}, parts=[skin()]),
            "fins": surface(
                "fin", [(0, 0, 120), (130, 40, 80)], at={"x": 560, "y": 400}, parts=[skin()]
            ),
        }
    )


def tandem() -> Raw:
    """Two wings far apart."""
    return bare(
        {
            "front": surface("wing", [(0, 0, 150), (400, 0, 150)], parts=[skin()]),
            "rear": surface(
                "wing", [(0, 0, 150), (450, 0, 150)], at={"x": 500, "z": 50}, parts=[skin()]
            ),
            "fin": surface("fin", [(0, 0, 120), (130, 40, 80)], at={"x": 520}, parts=[skin()]),
        }
    )


def biplane() -> Raw:
    """Two wings above each other, with a tail."""
    raw = glider()
    raw["surfaces"]["upper"] = surface(
        "wing", [(0, 0, 180), (450, 0, 180)], at={"x": 100, "z": 180}, parts=[skin()]
    )
    return raw


def vee_tail() -> Raw:
    """A V-tail at 35 degrees."""
    raw = glider()
    del raw["surfaces"]["tailplane"], raw["surfaces"]["fin"]
    raw["surfaces"]["tail"] = bent(
        "vee-tail", [(0, 0, 120), (200, 35, 90)], at={"x": 640}, parts=[skin()]
    )
    return raw


def twin_fins() -> Raw:
    """Two fins at the tailplane's ends."""
    raw = glider()
    raw["surfaces"]["fin"]["at"] = {"x": 650, "y": 180}
    return raw


def gull() -> Raw:
    """A wing that rises to a bend and is level outboard of it."""
    raw = glider()
    raw["surfaces"]["wing"] = bent(
        "wing", [(0, 0, 200), (200, 8, 200), (500, 0, 160)], at={"x": 150}, parts=[skin()]
    )
    return raw


def polyhedral() -> Raw:
    """A wing bent up twice, with washout and two NACA sections."""
    raw = glider()
    polywing = bent(
        "wing",
        [(0, 0, 200), (300, 3, 200), (450, 8, 160), (560, 14, 90)],
        at={"x": 150},
        parts=[skin("both skins")],
    )
    polywing["section"] = "NACA 4412"
    polywing["stations"][3] |= {"washout": 2, "section": "NACA 2410"}
    raw["surfaces"]["wing"] = polywing
    return raw


EVERY_LAYOUT: dict[str, Callable[[], Raw]] = {
    "glider": glider,
    "trainer": trainer,
    "tailless": tailless,
    "canard": canard,
    "tandem": tandem,
    "biplane": biplane,
    "vee_tail": vee_tail,
    "twin_fins": twin_fins,
    "gull": gull,
    "polyhedral": polyhedral,
}


# --- through the rooms -----------------------------------------------------------------------


def file_of(raw: Raw) -> DesignFile:
    """Validate; bare numbers are mm, g and degrees."""
    return DesignFile.model_validate(raw, context={"units": FileUnits()})


def stock(file: DesignFile) -> Mapping[str, Material]:
    """The packaged materials with the design's own on top."""
    return stock_with(file.materials)


def design_of(
    raw: Raw,
    *,
    steps: Sequence[Raw] = (),
    flights: Sequence[Raw] = (),
    points: Mapping[str, Points] | None = None,
) -> Design:
    """A design as the reader would give it. steps: front matter; flights: entries of the log."""
    file = file_of(raw)
    context = {"units": FileUnits()}
    heads = [StepHead.model_validate(head, context=context) for head in steps]
    return Design(
        slug="sanderling",
        file=file,
        steps=tuple(Step(f"{n:03}", head, "Do it.") for n, head in enumerate(heads)),
        notes=None,
        log=FlightLog.model_validate({"flights": flights}, context=context).flights,
        pictures={},
        section_points=points or {},
        materials=stock(file),
        fingerprint="0" * 64,
    )


def airframe_of(raw: Raw, points: Mapping[str, Points] | None = None) -> Airframe:
    """Geometry alone."""
    return build_airframe(file_of(raw), points or {})


def balance_of(raw: Raw) -> BalanceResult:
    """Geometry and balance."""
    file = file_of(raw)
    return work_out_balance(file, build_airframe(file, {}), stock(file))


def dossier_of(raw: Raw, **more: Any) -> Dossier:
    """Everything."""
    return work_out(design_of(raw, **more))
