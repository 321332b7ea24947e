"""What the design file refuses, and that it says why."""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
from collections.abc import Callable
from typing import Any

import pytest
from pydantic import ValidationError

from plansgen.library import models
from tests.designs import (
    EVERY_LAYOUT,
    Raw,
    battery,
    bent,
    file_of,
    glider,
    item,
    plate,
    powered,
    skin,
    surface,
    trainer,
)

Change = Callable[[Raw], object]


def put(*path: Any, **value: Any) -> Change:
    """A change that writes into the data: keys and indices, then what to add there."""

    def change(raw: Raw) -> None:
        for part in path:
            raw = raw[part]
        raw.update(value)

    return change


def wing(rows: list[Raw], **more: Any) -> Change:
    """A change that gives the wing other stations."""
    return put("surfaces", "wing", **{"stations": rows, **more})


def section(**value: Any) -> Change:
    return put("surfaces", "wing", section=value)


def part(**value: Any) -> Change:
    """A change that gives the wing one part."""
    return put("surfaces", "wing", parts=[{"name": "part", "material": "board", **value}])


def former(formers: Raw, **value: Any) -> Change:
    """A change that gives the fuselage formers."""
    row = {"name": "formers", "material": "board", "formers": formers, **value}
    return put("bodies", "fuselage", parts=[row])


def loose(**value: Any) -> Change:
    """A change that adds a part of no surface and no body."""
    return put(parts=[{"name": "part", "material": "pine", **value}])


def stock(**value: Any) -> Change:
    """A change that names one size to buy."""
    return put(stock=[{"name": "size", "material": "board", **value}])


def control(**value: Any) -> Change:
    aileron = {"kind": "aileron", "from": 100, "to": 400, "chord": 0.2} | value
    return put("surfaces", "wing", controls={"aileron": aileron})


def drive(**value: Any) -> Change:
    """A change that gives the model a drive, with what differs from a good one."""

    def change(raw: Raw) -> None:
        raw["power"] = powered()["power"]
        raw["power"]["drives"][0].update(value)

    return change


def power(**value: Any) -> Change:
    """A change that gives the model a drive, and something beside it."""

    def change(raw: Raw) -> None:
        raw["power"] = powered()["power"] | value

    return change


def measured(*rows: tuple[float, ...]) -> Change:
    """A change that gives the propeller measured rows: J, CT, CP and perhaps rpm."""
    names = ("j", "ct", "cp", "rpm")
    return drive(measured=[dict(zip(names, row, strict=False)) for row in rows])


def blade(*places: tuple[float, float]) -> Change:
    return drive(blade=[{"at": at, "chord": chord} for at, chord in places])


WIRE = {"name": "lead", "length": 100, "gauge": 16}


def spanned(*spans: float, **last: Any) -> list[Raw]:
    rows: list[Raw] = [{"span": span, "chord": 200} for span in spans]
    rows[-1] |= last
    return rows


def drawn(*places: tuple[float, float]) -> list[Raw]:
    return [{"y": y, "z": z, "chord": 200} for y, z in places]


FRAMES = [{"x": 0, "width": 50, "height": 60}, {"x": 300, "width": 50, "height": 60}]
RUN = {"run": {"from": 0, "to": 400}, "material": "pine"}
SIZE = {"size": {"diameter": 3}}

REFUSED: dict[str, tuple[Change, str]] = {
    # --- openings
    "opening backwards": (
        part(cover="top skin", openings=[{"name": "w", "from": 90, "to": 40, "at": 0.5}]),
        "to must lie beyond from",
    ),
    "opening placed twice": (
        part(cover="top skin", openings=[{"name": "w", "at": 0.5, "behind": 50}]),
        "give at or behind, not both",
    ),
    "opening for an item with a size of its own": (
        part(cover="top skin", openings=[{"name": "w", "item": "servo", "width": 20}]),
        "an opening for an item takes its place and size from it",
    ),
    "opening without a skin": (
        part(cover="both skins", openings=[{"name": "w", "from": 10, "to": 40}]),
        'openings, "w": on is one of top, bottom, with cover both skins',
    ),
    "opening without its width": (
        part(cover="top skin", openings=[{"name": "w", "from": 10, "to": 40, "at": 0.5}]),
        "an opening in a surface needs width",
    ),
    "opening in a former with ends": (
        former({"at": [100]}, openings=[{"name": "w", "from": 1, "to": 2}]),
        "an opening in formers, front or rear needs width and height",
    ),
    "opening with too much": (
        former({"at": [100]}, openings=[{"name": "w", "width": 9, "height": 9, "at": 0.5}]),
        "at does not go with an opening in formers, front or rear",
    ),
    "opening in a stick": (
        part(**RUN, **SIZE, openings=[{"name": "w", "width": 9, "height": 9}]),
        "they go with cover; with formers or plate without on",
    ),
    "in the core without a run": (part(cover="top skin", in_core=True), "in_core goes with run"),
    # --- section
    "section lacks its numbers": (
        section(kind="cambered plate"),
        "a section of kind cambered plate needs thickness and camber",
    ),
    "section has idle numbers": (
        section(kind="naca", digits="2412", spar_at=0.3, thickness=5),
        "a section of kind naca has no spar_at and no thickness",
    ),
    "camber at the leading edge": (
        section(kind="cambered plate", thickness=3, camber=0.05, camber_at=0),
        "camber_at must lie between the leading and the trailing edge",
    ),
    "camber at the trailing edge": (
        section(kind="cambered plate", thickness=3, camber=0.05, camber_at=1),
        "camber_at must lie between",
    ),
    "spar at the trailing edge": (
        section(kind="folded sheet", thickness=3, spar_height=9, spar_at="100 %"),
        "spar_at must lie between",
    ),
    "camber without a place": (
        section(kind="naca", digits="2012"),
        "NACA 2012 has camber without its place",
    ),
    # --- stations
    "placed twice": (
        wing([{"span": 0, "y": 0, "chord": 200}, {"span": 500, "chord": 200}]),
        "give span (along the surface) or y and z",
    ),
    "not placed": (wing([{"chord": 200}, {"span": 500, "chord": 200}]), "give span"),
    "dihedral on the drawing": (
        wing([{"y": 0, "chord": 200}, {"y": 500, "chord": 200, "dihedral": 3}]),
        "dihedral goes with span",
    ),
    "placed in two ways": (
        wing([{"span": 0, "chord": 200}, {"y": 500, "chord": 200}]),
        "all stations of a surface are placed the same way",
    ),
    "span goes back": (wing(spanned(0, 300, 300)), "stations[2].span must lie outboard"),
    "two at one place": (wing(drawn((0, 0), (300, 5), (300, 5))), "stations[2] lies on the one"),
    "crosses back": (wing(drawn((0, 0), (300, 0), (200, 50))), "stations[2].y crosses back"),
    "folds back": (
        wing(drawn((0, 0), (300, 0), (300, 50), (300, 20))),
        "stations[3] leads back over the panel before it",
    ),
    "pointed in the middle": (
        wing([{"span": 0, "chord": 200}, {"span": 100, "chord": 0}, {"span": 300, "chord": 100}]),
        "stations[1].chord is zero; only the tip may be pointed",
    ),
    "first span is not the root": (wing(spanned(10, 300)), "stations[0].span must be 0"),
    "first place is not the root": (wing(drawn((10, 0), (300, 0))), "stations[0] must be the root"),
    "no section": (put("surfaces", "wing", section=None), "section is missing"),
    "half a wing": (put("surfaces", "wing", mirror=False), "a wing starts on the centre line"),
    "wing off the centre": (put("surfaces", "wing", at={"y": 5}), "a wing starts on the centre"),
    # --- what faces the air
    "folded right back": (wing(spanned(0, 300, dihedral=100)), "dihedral must lie from -90 to 90"),
    "level vee-tail": (
        put("surfaces", tail=bent("vee-tail", [(0, 0, 100), (200, 0, 100)])),
        "a vee-tail needs dihedral",
    ),
    "upright vee-tail": (
        put("surfaces", tail=bent("vee-tail", [(0, 0, 100), (200, 90, 100)])),
        "a vee-tail needs dihedral",
    ),
    "level fin": (
        put("surfaces", fin=bent("fin", [(0, 0, 100), (200, 0, 100)])),
        "a fin needs height",
    ),
    "upright wing": (wing(spanned(0, 300, dihedral=90)), "a wing needs width"),
    "upright tailplane": (
        put(
            "surfaces",
            tailplane={**surface("fin", [(0, 0, 90), (100, 0, 90)]), "role": "tailplane"},
        ),
        "a tailplane needs width",
    ),
    "two fins in one place": (
        put("surfaces", "fin", mirror=True),
        "a mirrored fin needs at.y",
    ),
    # --- controls, runs, sticks
    "control runs inboard": (control(**{"from": 400}), "to must lie outboard of from"),
    "control of no chord": (control(chord=0), "chord must be above 0"),
    "control beyond the tip": (control(to=501), "controls.aileron runs from 100 to 501 mm"),
    "run of no length": (part(run={"from": 5, "to": 5}), "to must lie beyond from"),
    "run beyond the tip": (part(**RUN | {"run": {"from": 0, "to": 600}}), "parts[0].run runs from"),
    "run inboard of the root": (part(run={"from": -5, "to": 60}), "runs from -5 to 60 mm"),
    "cover beyond the tip": (part(cover="plate", to=501), "parts[0] runs from 0 to 501 mm"),
    "stick of no shape": (part(**RUN, size={}), "give width and height, or diameter"),
    "stick of two shapes": (
        part(**RUN, size={"width": 3, "height": 3, "diameter": 3}),
        "give width and height, or diameter",
    ),
    "stick without height": (part(**RUN, size={"width": 3}), "give width and height, or diameter"),
    "stick with an idle width": (
        part(**RUN, size={"width": 3, "diameter": 3}),
        "give width and height, or diameter",
    ),
    "bore too wide": (part(**RUN, size={"diameter": 3, "bore": 3}), "bore must be smaller"),
    "bore of a flat stick": (
        part(**RUN, size={"width": 3, "height": 3, "bore": 2}),
        "bore must be smaller",
    ),
    # --- parts
    "no amount": (
        part(),
        "ribs, formers, plate, outline, drawing, area, length, not none",
    ),
    "two amounts": (
        part(cover="plate", area=100, at={"x": 0}),
        "outline, drawing, area, length, not cover and area",
    ),
    "area without a place": (part(area="2 dm2"), "area needs at"),
    "length without a place": (part(length=50), "length needs at"),
    "share of a stick": (part(**RUN, share=0.5), "share goes with sheet"),
    "ribs out of order": (part(ribs={"at": [50, 40]}), "at must rise from rib to rib"),
    "two names for one rib": (
        part(ribs={"at": [50], "names": ["R1", "R2"]}),
        "2 names for 1 ribs",
    ),
    "rib beyond the tip": (part(ribs={"at": [0, 501]}), "parts[0].ribs.at ends at 501 mm"),
    "ribs of a body": (
        put("bodies", "fuselage", parts=[{"name": "r", "material": "board", "ribs": {"at": [5]}}]),
        "bodies.fuselage.parts[0]: ribs go with a surface",
    ),
    "formers out of order": (
        former({"at": [50, 40]}),
        "at must rise from former to former",
    ),
    "two names for one former": (
        former({"at": [50], "names": ["F1", "F2"]}),
        "2 names for 1 formers",
    ),
    "former ahead of the nose": (
        former({"at": [-1, 40]}),
        "parts[0].formers.at: -1 mm does not lie in the body",
    ),
    "two formers at one place": (
        former({"at": [50]}, count=2),
        "count does not go with formers",
    ),
    "formers of a surface": (
        part(formers={"at": [50]}),
        "surfaces.wing.parts[0]: formers go with a body",
    ),
    "rectangle without a place": (
        part(plate={"length": 50, "width": 20}),
        "plate needs at",
    ),
    "holes in nothing": (
        part(plate={"length": 50, "width": 20}, holes=[[[1, 1], [2, 1], [2, 2]]], at={"x": 0}),
        "holes go with outline",
    ),
    "hole over the edge": (
        part(
            outline=[[0, 0], [50, 0], [50, 50]], holes=[[[40, 10], [60, 10], [60, 20]]], at={"x": 0}
        ),
        "what outline and holes give holds outlines that cross",
    ),
    "outline of no area": (
        part(outline=[[0, 0], [50, 0], [20, 0]], at={"x": 0}),
        "outline must enclose an area",
    ),
    "a skin lies nowhere": (part(cover="plate", lies="top"), "lies goes with run"),
    "a stick reaches over no chord": (
        part(**RUN, **SIZE, over={"from": 0, "to": 0.3}),
        "over goes with cover",
    ),
    "a run braces nothing": (part(**RUN, **SIZE, braces="wire"), "braces goes with line"),
    "reach of no width": (
        part(cover="plate", over={"from": 0.4, "to": 0.3}),
        "to must lie aft of from",
    ),
    "tapers from nothing": (
        part(**RUN, size_out={"diameter": 2}),
        "size_out goes with size",
    ),
    "tapers to another shape": (
        part(**RUN, **SIZE, size_out={"width": 3, "height": 2}),
        "size_out has another shape than size",
    ),
    "glue without a joint": (part(**RUN, **SIZE, glue="white-glue"), "glue goes with joins"),
    "a strut is not set tight": (
        part(
            line=[{"x": 0}, {"x": 100}],
            material="pine",
            **SIZE,
            braces="strut",
            preload=200,
        ),
        "preload goes with braces: wire",
    ),
    "joint beyond the brace": (
        part(**RUN, **SIZE, joins=500),
        "joins must lie between the ends of the run",
    ),
    "share of nothing": (part(cover="plate", share=0), "share must be above 0"),
    "line of no length": (loose(line=[{"x": 5}, {"x": 5}, {"x": 5}], **SIZE), "line must have"),
    "from without cover": (
        part(area="2 dm2", at={"x": 0}, **{"from": 5}),
        "from and to go with cover; inside run",
    ),
    "cover runs inboard": (part(cover="plate", to=50, **{"from": 60}), "to must lie outboard"),
    "cover of a body on a wing": (
        part(cover="sides"),
        'surfaces.wing.parts[0].cover "sides" does not go here; allowed: plate, both skins',
    ),
    "cover of a wing on a body": (
        put("bodies", "fuselage", parts=[skin("plate")]),
        'bodies.fuselage.parts[0].cover "plate" does not go here; allowed: all, sides',
    ),
    "piece of a body's cover": (
        put("bodies", "fuselage", parts=[skin("all", to=50)]),
        "bodies.fuselage.parts[0]: from and to go with cover on a surface",
    ),
    "cover of nothing": (loose(cover="all"), "parts[0]: cover, run, ribs and formers belong to a"),
    "run along nothing": (
        loose(run={"from": 0, "to": 9}, **SIZE),
        "parts[0]: cover, run, ribs and formers belong",
    ),
    "weighed nowhere": (
        put("surfaces", "wing", measured_at={"x": 5}),
        "measured_at goes with measured",
    ),
    # --- bodies and items
    "frames go back": (
        put("bodies", "fuselage", stations=[FRAMES[0], FRAMES[0]]),
        "stations[1].x must lie aft of the one before",
    ),
    "two bodies in one place": (
        put("bodies", "fuselage", mirror=True),
        "a mirrored body needs at.y",
    ),
    "two items in one place": (put(items=[item(mirror=True)]), "a mirrored item needs at.y"),
    "a folding servo": (put(items=[item(kind="servo", folds=True)]), "only a propeller folds"),
    "a variant of nothing": (
        put(variants=[{"name": "as it is"}]),
        "a variant must add something or do without something",
    ),
    "a variant without a stranger": (
        put(variants=[{"name": "bare", "without": ["camera"]}]),
        'there is no item "camera"',
    ),
    # --- battery and balance
    "bay runs forward": (put(bay={"from": 50, "to": 20}), "to must lie aft of from"),
    "battery of the plan outside its bay": (put("bay", x=161), "x must lie between from and to"),
    "battery outside the bay": (
        put(batteries=[battery(), battery(x=29)]),
        "batteries[1].x must lie in the bay",
    ),
    "batteries without a bay": (put(bay=None), "batteries need a bay"),
    "mark of nothing": (put(balance={"target": {}}), "give mac or root, one of them"),
    "mark of two": (put(balance={"target": {"mac": 0.3, "root": 60}}), "give mac or root"),
    "limits of nothing": (
        put(balance={"aft": {"mac": 0.3}}),
        "forward and aft limits need a target",
    ),
    "first flights without a target": (
        put(balance={"first": {"mac": 0.27}}),
        "a place for the first flights needs a target",
    ),
    # --- stock
    "stock of no form": (stock(), "give width and height of a sheet, or length of a stick"),
    "sheet of one side": (stock(width=762), "give width and height of a sheet"),
    "sheet and stick": (stock(width=762, height=508, length=900), "give width and height"),
    "sheet as large as a wall": (stock(width=4000, height=508), "at most 3.2 m wide and high"),
    "stick across its grain": (stock(length=1000, grain="width"), "grain goes with sheets"),
    "stock sheet with a stick's size": (
        stock(width=1000, height=700, size={"width": 5, "height": 5}),
        "size goes with length",
    ),
    "price of no currency": (stock(length=1000, price=2), "price and currency go together"),
    "two stocks of one name": (
        put(stock=[{"name": "board", "material": "board", "width": 762, "height": 508}] * 2),
        'two entries of stock have the name "board"',
    ),
    # --- power and controls
    "a motor that steers": (
        put(items=[item(kind="motor", servo={"travel": 45})]),
        "servo goes with an item of kind servo",
    ),
    "a servo that stands still": (
        put(items=[item(kind="servo", servo={"travel": 0})]),
        "servo: travel must be above 0",
    ),
    "more up than travel": (control(travel=15, up=16), "up is more than travel"),
    "more down than the usual travel": (control(down=21), "down is more than travel"),
    "arm without horn": (control(arm=10), "arm and horn go together"),
    "horn that lies along the surface": (
        control(arm=10, horn=12, horn_ahead=-12),
        "horn_ahead must be less than the length of the horn",
    ),
    "offset of no horn": (control(horn_ahead=2), "horn_ahead goes with horn"),
    "arm in metres": (control(arm="8 m", horn=12), "arm must be from 1 mm to 200 mm long"),
    "edge that folds over": (control(travel=120), "travel must be from 0 to 90 deg"),
    "edge that stands beyond its travel": (
        control(travel=15, neutral=16),
        "neutral must be no more than travel",
    ),
    "motor that stands no current": (drive(most_current=0), "most_current must be above 0"),
    "shaft that points aside": (drive(side=45), "side must lie between -30 and 30 deg"),
    "wire that carries nothing": (
        power(wires=[{"name": "w", "length": 90, "gauge": 16, "most": 0}]),
        "most must be above 0",
    ),
    "wire that bites its tail": (
        power(wires=[{"name": "w", "length": 90, "gauge": 16, "from": "battery", "to": "battery"}]),
        "from and to must differ",
    ),
    "plug that carries nothing": (
        power(connectors=[{"name": "plug", "most_current": 0}]),
        "most_current must be above 0",
    ),
    "fuse of nothing": (power(fuse=0), "fuse must be above 0"),
    "a flight without the motor": (
        power(flight_mix=[{"share": 1, "throttle": "off"}]),
        "flight_mix: the motor must run for 1 % of the flight or more",
    ),
    "order of another mixing": (
        put(mixing=[{"kind": "elevon", "yaw": 0.5}]),
        "yaw does not go with elevon: give pitch and roll",
    ),
    "mixing of nothing": (
        put(mixing=[{"kind": "v-tail"}]),
        "mixing[0]: no surface has a control of kind ruddervator",
    ),
    "mixed twice": (
        lambda raw: (
            control(kind="elevon")(raw),
            put(mixing=[{"kind": "elevon"}] * 2)(raw),
        ),
        "there are two entries for elevon",
    ),
    "no pitch": (drive(pitch=None), "pitch is missing"),
    "drawn and measured": (
        drive(table="propellers/own.csv", blade=[{"at": 0.2, "chord": 0.2}]),
        "give one of blade, table and measured, not blade and table",
    ),
    "blade of one place": (blade((0.5, 0.1)), "blade needs two places or more"),
    "blade goes back": (blade((0.5, 0.2), (0.5, 0.1)), "blade: at must rise"),
    "blade of no width": (blade((0.5, 0.2), (0.9, 0)), "blade[1] must lie beyond 0.05"),
    "blade from the middle of the hub": (blade((0, 0.2), (0.9, 0.1)), "blade[0] must lie beyond"),
    "one measured row": (measured((0, 0.1, 0.05)), "measured[0]: two rows or more are needed"),
    "measured out of order": (
        measured((0, 0.1, 0.05), (0.3, 0.08, 0.05), (0.3, 0.07, 0.04)),
        "measured[2]: J must rise",
    ),
    "two sizes of a wire": (power(wires=[WIRE | {"area": 1.3}]), "give gauge or area"),
    "wire of no size": (power(wires=[{"name": "lead", "length": 9}]), "give gauge or area"),
    "two wires of one name": (power(wires=[WIRE, WIRE]), 'two wires have the name "lead"'),
    "more than the whole flight": (
        power(
            flight_mix=[{"share": 0.5, "throttle": "full"}, {"share": 0.6, "throttle": "level"}],
        ),
        "flight_mix: the shares add to 1.1, not to 1",
    ),
    "nothing of the battery": (power(usable=0), "usable must be 5 % or more"),
    "an alternative that is the same": (
        power(alternatives=[{"name": "the same"}]),
        "an alternative must differ",
    ),
    # --- the whole
    "no wing": (put("surfaces", "wing", role="canard"), "surfaces has no wing"),
    "one name for two": (
        put(bodies={"fin": {"role": "pod", "stations": FRAMES}}),
        '"fin" names a surface and a body',
    ),
}


def refusal(change: Change) -> str:
    raw = trainer()
    change(raw)
    with pytest.raises(ValidationError) as caught:
        file_of(raw)
    # A refused station also leaves its list too short for pydantic; the reader drops that.
    (error,) = (error for error in caught.value.errors() if error["type"] != "too_short")
    assert error["type"] == "value_error"
    return str(error["ctx"]["error"])


@pytest.mark.parametrize(("change", "essence"), REFUSED.values(), ids=REFUSED)
def test_refused(change: Change, essence: str) -> None:
    assert essence in refusal(change)


def _messages_in(module: Any) -> list[str]:
    """The longest plain piece of every message that a module's validators raise."""
    found = []
    for node in ast.walk(ast.parse(inspect.getsource(module))):
        if isinstance(node, ast.Raise) and isinstance(node.exc, ast.Call):
            pieces = [
                piece.value
                for piece in ast.walk(node.exc.args[0])
                if isinstance(piece, ast.Constant) and isinstance(piece.value, str)
            ]
            found.append(max(pieces, key=len))
    return found


def test_every_refusal_is_tested() -> None:
    told = [refusal(change) for change, _ in REFUSED.values()]
    names = [module.name for module in pkgutil.iter_modules(models.__path__)]
    modules = [importlib.import_module(f"{models.__name__}.{name}") for name in sorted(names)]
    expected = [piece for module in modules for piece in _messages_in(module)]
    assert len(expected) > 40
    assert [piece for piece in expected if not any(piece in text for text in told)] == []


# --- what is allowed -------------------------------------------------------------------------


@pytest.mark.parametrize("build", EVERY_LAYOUT.values(), ids=EVERY_LAYOUT)
def test_every_layout_is_allowed(build: Callable[[], Raw]) -> None:
    assert file_of(build()).name == "Sanderling"


@pytest.mark.parametrize(
    ("text", "kind", "digits", "file"),
    [
        ("NACA 2412", "naca", "2412", None),
        ("naca0012", "naca", "0012", None),
        ("points sections/gull.txt", "points", None, "sections/gull.txt"),
    ],
)
def test_section_in_words(text: str, kind: str, digits: str | None, file: str | None) -> None:
    raw = glider()
    raw["surfaces"]["wing"]["section"] = text
    found = file_of(raw).surfaces["wing"].section
    assert found is not None
    assert (found.kind, found.digits, found.file) == (kind, digits, file)


@pytest.mark.parametrize("text", ["NACA 23012", "NACA", "points", "plates", "", "NACA 24a2"])
def test_section_in_wrong_words(text: str) -> None:
    raw = glider()
    raw["surfaces"]["wing"]["section"] = text
    with pytest.raises(ValidationError):
        file_of(raw)


def test_winglets_and_canted_fins_are_allowed() -> None:
    raw = glider()
    raw["surfaces"]["wing"] = bent("wing", [(0, 0, 200), (400, 3, 200), (460, 90, 100)])
    raw["surfaces"]["fin"] = bent("fin", [(0, 0, 100), (150, 60, 80)], mirror=True)
    assert file_of(raw).surfaces["wing"].places[-1][1] == pytest.approx(0.4 * 0.99863, rel=1e-6)


def test_who_is_mirrored() -> None:
    raw = glider()
    raw["surfaces"]["fins"] = surface("fin", [(0, 0, 90), (90, 0, 90)], at={"y": 90})
    surfaces = file_of(raw).surfaces
    found = {key: surface.mirrored for key, surface in surfaces.items()}
    assert found == {"wing": True, "tailplane": True, "fin": False, "fins": True}


def test_unknown_keys_are_refused_everywhere() -> None:
    for path in ((), ("surfaces", "wing"), ("bodies", "fuselage"), ("credits",), ("bay",)):
        raw = trainer()
        put(*path, colour="red")(raw)
        with pytest.raises(ValidationError, match="Extra inputs are not permitted"):
            file_of(raw)


def test_design_is_frozen() -> None:
    file = file_of(glider())
    with pytest.raises(ValidationError, match="frozen"):
        file.name = "Knot"  # type: ignore[misc]


def test_plate_section_by_hand() -> None:
    raw = glider()
    raw["surfaces"]["wing"]["section"] = plate()
    found = file_of(raw).surfaces["wing"].section
    assert found is not None
    assert found.thickness == pytest.approx(0.005)
