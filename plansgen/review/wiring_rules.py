"""Rules about leads, plugs, fuse and arming: what gets hot, and what keeps fingers safe."""

from __future__ import annotations

from collections.abc import Iterator

from plansgen.drive.wire import advised_current, area_of, gauge_for
from plansgen.drive.wiring_graph import BATTERY, Conductor, Wiring
from plansgen.review.finding import Finding
from plansgen.review.words import PRACTICE, percent

WIRING_RULES = frozenset(
    {
        *("wire-thin", "connector", "voltage-lost", "wire-size", "wire-not-placed"),
        *("fuse-small", "fuse-large", "arming-plug", "one-controller", "receiver-supply"),
    }
)
"""What these rules find is told on the page on power too."""

LOST = 0.04  # of the battery's voltage (common practice, no source)
STRONG = 10.0  # A; from here on a slipped throttle does harm (estimate)
SPARE = 1.25  # a fuse over the current that it must pass (common practice, no source)
SUPPLY = 3.0  # A; what small built-in supplies give (common practice, no source)
FAR_OVER = 1.5
MAKER = "the figure given for it"
DOUBT = "Feel it after a half-minute run on the bench, model held fast; the maker's figure decides."


def amperes(current: float) -> str:
    """A current in the words of a finding."""
    return f"{current:.{0 if current >= STRONG else 1}f} A"


def wiring(graph: Wiring) -> Iterator[Finding]:
    """Every rule about the wiring."""
    for lead in _unlike(graph):
        yield from _thin(lead)
    yield from _connectors(graph)
    yield from _lost(graph)
    yield from _unknown(graph)
    yield from _fuse(graph)
    yield from _arming(graph)
    yield from _shared(graph)
    yield from _supply(graph)


def _unlike(graph: Wiring) -> list[Conductor]:
    """Leads in their order, one of those that differ only in their side."""
    seen: dict[tuple[object, ...], Conductor] = {}
    for lead in graph.conductors:
        key = (lead.circuit, lead.current, lead.wires, lead.size)
        seen.setdefault(key, lead)
    return list(seen.values())


def _thin(lead: Conductor) -> Iterator[Finding]:
    """A lead that carries more than it should."""
    if lead.current is None or lead.advised is None or lead.limit is None:
        return
    limit = lead.limit if lead.limit_given else lead.advised
    if lead.current <= limit:
        return
    hot = lead.current > (FAR_OVER * limit if lead.limit_given else lead.limit)
    gauge = gauge_for(lead.current)
    do = (
        f"Use AWG {gauge}, which is advised for {amperes(advised_current(area_of(gauge)))}, or "
        "thicker, or a smaller propeller."
        if gauge is not None
        else "Split it into several leads, or use less current."
    )
    yield Finding(
        rule="wire-thin",
        severity="severe" if hot else "caution",
        title="A lead is thin for its current",
        number=f"{lead.title}, {lead.size}: {amperes(lead.current)} at full throttle",
        limit=f"{amperes(limit)}, {MAKER if lead.limit_given else '15 A for every mm²'}",
        why="It gets hot: insulation softens, solder lets go, and two bare leads that touch set "
        "the battery on fire."
        if hot
        else "It gets warm and loses power.",
        do=f"{do} {DOUBT}",
        source=f"{MAKER}" if lead.limit_given else PRACTICE,
    )


def _connectors(graph: Wiring) -> Iterator[Finding]:
    """A plug that carries more than it should."""
    for plug in graph.plugs:
        if plug.current is None or plug.most is None or plug.current <= plug.most:
            continue
        yield Finding(
            rule="connector",
            severity="severe" if plug.current > FAR_OVER * plug.most else "caution",
            title="A plug carries more than it is made for",
            number=f"{plug.name}: {amperes(plug.current)} at full throttle",
            limit=f"{amperes(plug.most)}, {MAKER}",
            why="Its contacts heat up, lose their spring and then heat up more; in the end the "
            "motor stops in the air or the plug melts.",
            do=f"Fit plugs for {amperes(SPARE * plug.current)} or more, or a smaller propeller.",
            source="the maker's figure, as given in the design",
        )


def _lost(graph: Wiring) -> Iterator[Finding]:
    """Voltage lost between battery and controller."""
    if graph.drop is None or not graph.voltage or graph.drop <= LOST * graph.voltage:
        return
    yield Finding(
        rule="voltage-lost",
        severity="note",
        title="The leads eat some of the battery",
        number=f"{graph.drop:.2f} V at full throttle, {percent(graph.drop / graph.voltage, 1)}",
        limit=f"{percent(LOST)} of the battery's voltage",
        why="What the leads lose is heat, not thrust; the drive is worked out without them.",
        do="Shorter or thicker leads. Lengthen the motor's leads rather than the battery's: long "
        "battery leads strain the controller.",
        source=PRACTICE,
    )


def _unknown(graph: Wiring) -> Iterator[Finding]:
    """Strong currents through leads of unknown size, and wires that nobody can place."""
    bare = [
        lead
        for lead in _unlike(graph)
        if lead.circuit == "battery" and not lead.size and (lead.current or 0.0) >= STRONG
    ]
    for lead in bare:
        advised = f"AWG {lead.gauge_advised} or thicker" if lead.gauge_advised else "several leads"
        yield Finding(
            rule="wire-size",
            severity="note",
            title="A lead's size is not given",
            number=f"{lead.title}: {amperes(lead.current or 0.0)} at full throttle",
            limit="gauge or cross-section in the design",
            why="Nobody can say whether it stays cool.",
            do=f"Give it under power, wires; {advised} is advised.",
            source=PRACTICE,
        )
    if graph.unmatched:
        yield Finding(
            rule="wire-not-placed",
            severity="note",
            title="A wire belongs to no lead",
            number=", ".join(graph.unmatched),
            limit="from and to name the battery or items that are wired together",
            why="It is left out of the wiring.",
            do="Write from: and to: with the names of the items, or battery.",
            source=PRACTICE,
        )


def _fuse(graph: Wiring) -> Iterator[Finding]:
    """A fuse that blows in the air, or that protects nothing."""
    if graph.fuse is None or graph.total is None:
        return
    if graph.fuse < SPARE * graph.total:
        yield Finding(
            rule="fuse-small",
            severity="severe" if graph.fuse < graph.total else "caution",
            title="The fuse may blow in the air",
            number=f"fuse {amperes(graph.fuse)}, {amperes(graph.total)} at full throttle",
            limit=f"{amperes(SPARE * graph.total)} or more",
            why="When it goes, the motor stops, and the radio too where the controller feeds it.",
            do="A larger fuse, or a battery of its own for the receiver.",
            source=PRACTICE,
        )
    limits = [c.limit for c in graph.conductors if c.start == BATTERY and c.limit is not None]
    if limits and graph.fuse > min(limits):
        yield Finding(
            rule="fuse-large",
            severity="note",
            title="The fuse does not protect the lead",
            number=f"fuse {amperes(graph.fuse)}",
            limit=f"{amperes(min(limits))}, the most its lead should carry",
            why="The lead burns before the fuse goes.",
            do="A thicker lead, or a smaller fuse where the current allows it.",
            source=PRACTICE,
        )


def _arming(graph: Wiring) -> Iterator[Finding]:
    """A strong drive that is live as soon as the battery is plugged in."""
    if graph.arming_plug or (graph.total or 0.0) < STRONG:
        return
    yield Finding(
        rule="arming-plug",
        severity="note",
        title="It is live as soon as the battery is in",
        number=f"no arming plug, {amperes(graph.total or 0.0)} at full throttle",
        limit=f"an arming plug from about {STRONG:.0f} A on",
        why="The hatch is closed and the model carried about with a motor that may start.",
        do="Put a plug in the plus lead that is reached from outside, behind the propeller's "
        "plane, and put it in last, at the launch place. Without one, plug the battery in there, "
        "model held, propeller clear.",
        source=PRACTICE,
    )


def _shared(graph: Wiring) -> Iterator[Finding]:
    """Two motors on one controller."""
    blocks = [(b.name, b.side) for b in graph.of_kind("speed controller")]
    twice = sorted({block for block in blocks if blocks.count(block) > 1})
    for name, _ in twice:
        yield Finding(
            rule="one-controller",
            severity="severe",
            title="Two motors on one controller",
            number=name,
            limit="one controller for each brushless motor",
            why="A brushless controller times itself by one motor; with two on it they stall.",
            do="Give each motor a controller of its own.",
            source=PRACTICE,
        )


def _supply(graph: Wiring) -> Iterator[Finding]:
    """More servos than a small built-in supply feeds."""
    if graph.supply_stalled <= SUPPLY or not graph.of_kind("speed controller"):
        return
    yield Finding(
        rule="receiver-supply",
        severity="note",
        title="Many servos on the controller's supply",
        number=f"about {graph.supply_stalled:.1f} A when every servo is held fast, "
        f"{graph.supply:.1f} A in flight (estimate)",
        limit=f"2 to {SUPPLY:.0f} A, what small built-in supplies give",
        why="A supply that gives up takes the receiver with it, and the model is gone.",
        do="Read what your controller's supply gives at your number of cells; if in doubt, feed "
        "the receiver from a supply or battery of its own.",
        source=PRACTICE,
    )
