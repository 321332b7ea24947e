"""Random but sensible aeroplanes for property-based tests, and what may be done to them."""

from __future__ import annotations

import copy
import dataclasses
import math
from collections.abc import Iterator
from typing import Any

from hypothesis import strategies as st

from tests.designs import Raw, bare, battery, item, skin

SECTIONS: tuple[Any, ...] = (
    "NACA 0009",
    "NACA 2412",
    {"kind": "plate", "thickness": 4},
    {"kind": "cambered plate", "thickness": 3, "camber": 0.05},
    {"kind": "folded sheet", "thickness": 4, "spar_height": 8},
)
LAYOUTS = ("conventional", "tailless", "canard", "tandem", "biplane", "vee-tail", "twin fins")


def _numbers(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers as a builder writes them: to a tenth."""
    return st.integers(round(low * 10), round(high * 10)).map(lambda tenths: tenths / 10)


@st.composite
def chains(draw: st.DrawFn, *, first: float, level: bool = False) -> list[Raw]:
    """Stations of one to four panels from a root chord; bent, swept, cranked, perhaps pointed.

    level: bent little enough that the surface stays one that lies flat.
    """
    by_span = draw(st.booleans())
    stations: list[Raw] = [{"span" if by_span else "y": 0, "chord": first}]
    out = height = 0.0
    panels = draw(st.integers(1, 4))
    for number in range(panels):
        out += draw(_numbers(20, 300))
        pointed = number == panels - 1 and draw(st.booleans())
        chord = 0 if pointed else draw(_numbers(0.4 * first, 1.2 * first))
        station: Raw = {"x": draw(_numbers(-50, 120)), "chord": chord}
        if by_span:
            bend = 10 if level else 35
            station |= {"span": round(out, 1), "dihedral": draw(_numbers(-bend, bend))}
        else:
            height += draw(_numbers(-10, 40))
            station |= {"y": round(out, 1), "z": round(height, 1)}
        if draw(st.booleans()):
            station["washout"] = draw(_numbers(-2, 4))
        stations.append(station)
    return stations


@st.composite
def wings(draw: st.DrawFn, *, x: float = 100, z: float = 0, share: float = 1.0) -> Raw:
    """A wing; share: its root chord against a usual one."""
    first = round(draw(_numbers(120, 300)) * share, 1)
    return {
        "role": "wing",
        "at": {"x": x, "z": z},
        "incidence": draw(_numbers(-2, 4)),
        "section": draw(st.sampled_from(SECTIONS)),
        "stations": draw(chains(first=first)),
        "parts": [skin(draw(st.sampled_from(("plate", "both skins", "top skin"))))],
    }


@st.composite
def fins(draw: st.DrawFn, *, x: float, y: float = 0) -> Raw:
    """A fin, upright; one of a pair may lean out."""
    lean = draw(_numbers(60, 90)) if y else 90
    return {
        "role": "fin",
        "at": {"x": x, "y": y},
        "section": {"kind": "plate", "thickness": 4},
        "stations": [
            {"span": 0, "chord": draw(_numbers(80, 200))},
            {
                "span": draw(_numbers(50, 200)),
                "dihedral": lean,
                "x": draw(_numbers(0, 60)),
                "chord": draw(_numbers(40, 120)),
            },
        ],
        "parts": [skin()],
    }


@st.composite
def designs(draw: st.DrawFn) -> Raw:
    """An aeroplane of any layout, with masses and perhaps a body and a battery."""
    layout = draw(st.sampled_from(LAYOUTS))
    surfaces: dict[str, Raw] = {"wing": draw(wings())}
    if layout == "tandem":
        surfaces["rear"] = draw(wings(x=1500))
    if layout == "biplane":
        surfaces["upper"] = draw(wings(x=80, z=150))
    if layout == "canard":
        surfaces["foreplane"] = draw(wings(x=-900, share=0.4)) | {"role": "canard"}
    if layout in ("conventional", "biplane", "twin fins"):
        surfaces["tail"] = draw(wings(x=1200, share=0.5)) | {"role": "tailplane"}
    if layout == "vee-tail":
        tail = draw(wings(x=1200, share=0.5)) | {"role": "vee-tail"}
        tail["stations"] = [
            {"span": 0, "chord": 120},
            {"span": draw(_numbers(80, 250)), "dihedral": draw(_numbers(10, 80)), "chord": 90},
        ]
        surfaces["tail"] = tail
    else:
        out = draw(_numbers(50, 300)) if layout == "twin fins" else 0
        surfaces["fin"] = draw(fins(x=1250, y=out))
    raw = bare(surfaces, items=[item("nose weight", draw(_numbers(5, 80)), x=-50, z=5)])
    if draw(st.booleans()):
        _add_body(draw, raw)
    if draw(st.booleans()):
        raw["batteries"] = [battery(mass=draw(_numbers(20, 200)))]
        raw["bay"] = {"from": -40, "to": draw(_numbers(-40, 200)), "z": draw(_numbers(-30, 30))}
    return raw


def _add_body(draw: st.DrawFn, raw: Raw) -> None:
    frames = []
    x = 0.0
    for _ in range(draw(st.integers(2, 5))):
        width, height, z = draw(_numbers(5, 90)), draw(_numbers(5, 120)), draw(_numbers(-20, 20))
        frames.append({"x": round(x, 1), "width": width, "height": height, "z": z})
        x += draw(_numbers(30, 400))
    raw["bodies"] = {
        "fuselage": {
            "role": "fuselage",
            "shape": draw(st.sampled_from(("box", "round"))),
            "at": {"x": -60},
            "stations": frames,
            "parts": [skin(draw(st.sampled_from(("all", "sides", "top"))))],
        }
    }


# --- what may be done to them ----------------------------------------------------------------

_LENGTHS = frozenset(
    {"x", "y", "z", "span", "thickness", "spar_height", "width", "height", "from", "to"}
)


def scaled(raw: Raw, factor: float) -> Raw:
    """The same aeroplane with every length of its airframe multiplied; its sheet stays the same."""

    def walk(value: Any, key: str = "", inside: str = "") -> Any:
        if isinstance(value, dict):
            return {k: walk(v, k, key) for k, v in value.items() if k != "materials"}
        if isinstance(value, list):
            return [walk(entry, key) for entry in value]
        if key in _LENGTHS or (key == "chord" and inside == "stations"):
            return value * factor
        return value

    return walk(raw) | {"materials": raw["materials"]}


def shifted(raw: Raw, *, x: float, z: float) -> Raw:
    """The same aeroplane measured from another datum."""
    raw = copy.deepcopy(raw)
    bodies = raw.get("bodies", {}).values()
    for thing in (*raw["surfaces"].values(), *bodies, *raw.get("items", ())):
        place = thing.setdefault("at", {})
        place["x"] = place.get("x", 0) + x
        place["z"] = place.get("z", 0) + z
    if "bay" in raw:
        bay = raw["bay"]
        bay |= {"from": bay["from"] + x, "to": bay["to"] + x, "z": bay["z"] + z}
    return raw


def split(raw: Raw, key: str, panel: int, part: float) -> Raw:
    """The same aeroplane with one more station within a panel of a surface."""
    raw = copy.deepcopy(raw)
    stations = raw["surfaces"][key]["stations"]
    inner, outer = stations[panel], stations[panel + 1]
    between: Raw = {}
    for name in ("span", "y", "z", "x", "chord"):
        if name in inner or name in outer:
            a, b = inner.get(name, 0), outer.get(name, 0)
            between[name] = a + (b - a) * part
    if "dihedral" in outer:
        between["dihedral"] = outer["dihedral"]
    stations.insert(panel + 1, between)
    return raw


def numbers_in(value: object, where: str = "") -> Iterator[tuple[str, float]]:
    """Every float in a result, with the path to it."""
    if isinstance(value, float):
        yield where, value
    elif dataclasses.is_dataclass(value) and not isinstance(value, type):
        for field in dataclasses.fields(value):
            yield from numbers_in(getattr(value, field.name), f"{where}.{field.name}")
    elif isinstance(value, tuple):
        for number, entry in enumerate(value):
            yield from numbers_in(entry, f"{where}[{number}]")


def not_finite(value: object) -> list[str]:
    """Paths of the numbers that are not finite."""
    return [where for where, number in numbers_in(value) if not math.isfinite(number)]
