"""What the wiring diagram says: currents and sizes of leads, its key, and itself in sentences."""

from __future__ import annotations

from plansgen.drive.wiring_graph import SPLIT, Conductor, Wiring
from plansgen.figures.chart_key import KeyRow
from plansgen.figures.wiring_boxes import MINUS, MOTOR, PLUS, SIGNAL


def amperes(lead: Conductor) -> str:
    """The current of a lead, in words."""
    if lead.current is None:
        return "current not known"
    return f"{'about ' if lead.estimated else ''}{lead.current:.{1 if lead.current < 10 else 0}f} A"


def short(lead: Conductor) -> str:
    """A lead's size without the other way of saying it."""
    return lead.size.split(" (")[0]


def lead_lines(lead: Conductor) -> list[list[str]]:
    """Current and size of a lead, each in longer and shorter words."""
    each = " in each" if lead.circuit == "motor" else ""
    current = [f"{amperes(lead)}{each}", amperes(lead), amperes(lead).removeprefix("current ")]
    if lead.size:
        return [current, [lead.size, short(lead)]]
    if lead.gauge_advised is not None:
        number = lead.gauge_advised
        return [
            current,
            [f"AWG {number} or thicker advised", f"advised AWG {number}", "size?"],
        ]
    return [current]


def key_rows(wiring: Wiring) -> list[KeyRow]:
    """What the line types mean, for those that are there."""
    circuits = {lead.circuit for lead in wiring.conductors}
    rows = []
    if "battery" in circuits:
        rows += [
            KeyRow(
                PLUS,
                "+ of the battery"
                + (", a dot where leads are joined" if wiring.of_kind("split") else ""),
            ),
            KeyRow(MINUS, "− of the battery"),
        ]
    if "motor" in circuits:
        rows.append(KeyRow(MOTOR, "motor lead, three side by side; swap two to turn the other way"))
    if circuits & {"receiver", "servo"}:
        rows.append(KeyRow(SIGNAL, "flat cable: signal, + and −; currents of servos: held fast"))
    return rows


def wiring_sentences(wiring: Wiring) -> list[str]:
    """The same facts as the diagram, in sentences."""
    names = {block.key: block.name for block in wiring.blocks}
    words = []
    for lead in wiring.conductors:
        facts = [amperes(lead) if lead.current != 0.0 else "signal only"]
        facts += [lead.size] if lead.size else []
        title = lead.title[:1].upper() + lead.title[1:]
        known = f" ({names[lead.end]})" if lead.end in names and lead.end != SPLIT else ""
        words.append(f"{title}{known}: {', '.join(facts)}.")
    for block in (*wiring.of_kind("arming plug"), *wiring.of_kind("fuse")):
        words.append(f"In the battery's lead: {block.kind}, {block.name}.")
    return words
