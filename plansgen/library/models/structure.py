"""What the structure must stand, and how wing and motors are held on."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from plansgen.library.models.fields import Count, FileModel, Key, Line, assumed
from plansgen.library.units import Area, Length, Speed

LoadFactor = Annotated[float, Field(ge=1.0, le=30.0, strict=True)]
ReserveFactor = Annotated[float, Field(ge=1.0, le=10.0, strict=True)]


class HoldDown(FileModel):
    """What holds a wing on its body."""

    surface: Key = Field("wing", description="Key of the surface that is held.")
    fastener: Line = Field(description="A fastener of the packaged table, such as nylon-bolt-m5.")
    count: Count = Field(description="How many in all; of bands, each band counted once.")
    front: Length | None = Field(None, description="x of the front ones, from the datum.")
    rear: Length | None = Field(None, description="x of the rear ones, from the datum.")


class Mount(FileModel):
    """How a motor is held: the glued area behind it."""

    item: Line = Field(description="Name of the motor among the items.")
    glue: Line = Field(description="A material of kind glue.")
    area: Area = Field(description="Glued area of one mount.")
    to: Line = Field(description="Material that it is glued to.")


class Structure(FileModel):
    """What it must stand."""

    limit_load: LoadFactor = assumed(
        "Greatest load factor it is meant to be flown at.",
        "a limit load factor of 4 (estimate: lively turns and a firm pull-out)",
        default=4.0,
    )
    inverted_load: LoadFactor | None = assumed(
        "Greatest load factor pushed the other way, as a plain number; half of limit_load.",
        "half the limit load factor when pushed the other way (estimate)",
        default=None,
    )
    top_speed: Speed | None = assumed(
        "Fastest it will fly, dives included.",
        "the level top speed at full throttle, or three times the stall speed (estimate)",
        default=None,
    )
    gust: Speed = assumed(
        "Speed of the gust it must stand.", "a gust of 4 m/s (estimate: a fresh day)", default=4.0
    )
    sink: Speed = assumed(
        "Sink speed of a hard landing.", "a hard landing at 1.5 m/s of sink (estimate)", default=1.5
    )
    reserve: ReserveFactor = assumed(
        "Least reserve factor wanted: strength over load, with mean strengths.",
        "a reserve factor of 2 wanted (common practice, no source)",
        default=2.0,
    )
    hold_down: tuple[HoldDown, ...] = Field((), max_length=10, description="What holds wings on.")
    mounts: tuple[Mount, ...] = Field((), max_length=20, description="How motors are held.")
