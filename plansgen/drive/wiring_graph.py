"""The wiring of a model as a graph: blocks, the leads between them, and what each carries."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from plansgen.quantity import Quantity

BlockKind = Literal[
    "battery", "arming plug", "fuse", "split", "speed controller", "motor", "receiver", "servo"
]
Circuit = Literal["battery", "motor", "receiver", "servo"]

BATTERY, SPLIT = "battery", "split"
LEADS: Mapping[Circuit, int] = {"battery": 2, "motor": 3, "receiver": 3, "servo": 3}


@dataclass(frozen=True)
class DriveCurrent:
    """What one drive draws at full throttle, each of two alike. [A]"""

    motor: str
    from_battery: float
    in_motor: float


@dataclass(frozen=True)
class Block:
    """One thing with leads. side: port or starboard for one of two alike, else empty.

    A split is where the battery's lead parts; plug and fuse lie in that lead.
    """

    key: str
    kind: BlockKind
    name: str
    side: str = ""
    stall: Annotated[float | None, Quantity("A", "Current when held fast", "servo-current")] = None


@dataclass(frozen=True)
class Conductor:
    """A lead between two blocks; count: conductors side by side in it.

    estimated: the current is an estimate, not from the solved drive. wires: names of those of the
    design that lie in it. size: of the copper in words, empty when the design does not give it.
    limit_given: the limit is the design's, not practice.
    """

    start: str
    end: str
    title: str
    circuit: Circuit
    count: int
    current: Annotated[float | None, Quantity("A", "Current", "wiring-current")]
    estimated: bool
    wires: tuple[str, ...]
    size: str
    area: Annotated[float | None, Quantity("m²", "Copper of one conductor", "wire-gauge", "mm²")]
    length: Annotated[float | None, Quantity("m", "Length", "given-by-designer")]
    advised: Annotated[float | None, Quantity("A", "Advised, lasting", "wire-advice")]
    limit: Annotated[float | None, Quantity("A", "Greatest current", "wire-advice")]
    limit_given: bool
    gauge_advised: int | None
    drop: Annotated[float | None, Quantity("V", "Voltage lost, out and back", "wire-drop")]

    @property
    def ends(self) -> tuple[str, str]:
        """Keys of both blocks."""
        return self.start, self.end


@dataclass(frozen=True)
class Plug:
    """A connector and what goes through it."""

    name: str
    current: Annotated[float | None, Quantity("A", "Current", "wiring-current")]
    most: Annotated[float | None, Quantity("A", "Greatest lasting current", "given-by-designer")]


@dataclass(frozen=True)
class Wiring:
    """The whole graph. voltage: of the pack under load. unmatched: wires of no known lead."""

    blocks: tuple[Block, ...]
    conductors: tuple[Conductor, ...]
    plugs: tuple[Plug, ...]
    arming_plug: bool
    fuse: Annotated[float | None, Quantity("A", "Fuse", "given-by-designer")]
    voltage: Annotated[float | None, Quantity("V", "Voltage of the battery", "wiring-current")]
    total: Annotated[float | None, Quantity("A", "Current of the battery", "wiring-current")]
    supply: Annotated[float, Quantity("A", "Receiver and servos in flight", "servo-current")]
    supply_stalled: Annotated[
        float, Quantity("A", "Receiver and servos, all held fast", "servo-current")
    ]
    drop: Annotated[float | None, Quantity("V", "Voltage lost in the leads", "wire-drop")]
    unmatched: tuple[str, ...]

    def of_kind(self, kind: BlockKind) -> tuple[Block, ...]:
        """Blocks of one kind, port first."""
        return tuple(block for block in self.blocks if block.kind == kind)

    def between(self, start: str, end: str) -> Conductor | None:
        """The lead from one block to another."""
        return next((c for c in self.conductors if c.ends == (start, end)), None)


@dataclass(frozen=True)
class Unit:
    """One motor with its controller, on one side."""

    motor: str
    controller: str
    side: str
    current: DriveCurrent | None
