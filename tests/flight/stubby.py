"""A short-coupled, slow, light model, invented: 0.8 m of span, tail volume 0.25."""

from __future__ import annotations

import dataclasses
from typing import Any

from plansgen.airframe.build import Airframe
from plansgen.balance.centre import MassState
from plansgen.flight.handling import Handling
from tests.designs import Raw, airframe_of, balance_of, bare, item, skin, surface

CHORD, TAIL_CHORD, HALF_TAIL = 200.0, 110.0, 130.0
ARM = 280.0  # quarter chord to quarter chord


def stubby(*, arm: float = ARM, tail_size: float = 1.0, tail_z: float = 10.0) -> Raw:
    """The design file. Lengths in mm; the wing's leading edge lies at 100."""
    tail_chord, half_tail = TAIL_CHORD * tail_size, HALF_TAIL * tail_size
    tail_x = 100 + CHORD / 4 + arm - tail_chord / 4
    return bare(
        {
            "wing": surface(
                "wing",
                [(0, 0, CHORD), (400, 0, CHORD)],
                at={"x": 100},
                parts=[skin("both skins")],
            )
            | {
                "section": {"kind": "folded sheet", "thickness": 5, "spar_height": 14},
                "controls": {"aileron": {"kind": "aileron", "from": 220, "to": 390, "chord": 0.2}},
            },
            "tailplane": surface(
                "tailplane",
                [(0, 0, tail_chord), (half_tail, 0, tail_chord)],
                at={"x": tail_x, "z": tail_z},
                parts=[skin()],
                controls={
                    "elevator": {"kind": "elevator", "from": 0, "to": half_tail, "chord": 0.25}
                },
            ),
            "fin": surface(
                "fin",
                [(0, 0, 110), (120, 30, 80)],
                at={"x": 100 + CHORD / 4 + ARM - TAIL_CHORD / 4, "z": 10},
                parts=[skin()],
                controls={"rudder": {"kind": "rudder", "from": 10, "to": 120, "chord": 0.4}},
            ),
        },
        items=[
            item("propeller", 10, kind="propeller", x=-20, diameter=200),
            item("battery and motor", 120, x=20),
        ],
    )


def frame_and_state(share: float = 0.25, **shape: float) -> tuple[Airframe, MassState]:
    """The airframe and its mass of 250 g, balanced at a share of the chord."""
    raw = stubby(**shape)
    frame = airframe_of(raw)
    ready = balance_of(raw).ready
    assert ready is not None
    x = frame.reference.x_of_share(share)
    return frame, dataclasses.replace(ready.state, mass=0.25, x=x, z=0.0)


def stubby_handling(
    share: float = 0.25, *, shape: dict[str, float] | None = None, **more: Any
) -> Handling:
    """The model in standard air with a greatest lift of 1.0 and 14 m/s at full throttle."""
    frame, state = frame_and_state(share, **(shape or {}))
    given = {"density": 1.225, "lift_max": 1.0, "top_speed": 14.0} | more
    return Handling(frame, state=state, **given)
