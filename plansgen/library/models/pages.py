"""Build steps, notes and the flight log."""

from __future__ import annotations

import datetime
from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from plansgen.library.models.fields import FileModel, Line, Prose
from plansgen.library.models.masses import BalanceMark
from plansgen.library.tables import Fact
from plansgen.library.units import Length, Mass


class StepPicture(FileModel):
    """A picture in a build step."""

    file: Line = Field(description="File in the design's folder, such as photos/spar.png.")
    alt: Line = Field(description="What the picture shows, for those who cannot see it.")
    caption: Line | None = Field(None, description="Text under the picture.")


class Wait(FileModel):
    """Time to let something set."""

    minutes: Annotated[int, Field(ge=1, le=20160, strict=True)] = Field(description="How long.")
    reason: Line = Field(alias="for", description="What must set or dry.")


class StepHead(FileModel):
    """Front matter of a build step, ``steps/010-….md``."""

    title: Line = Field(description="What is done in this step.")
    minutes: Annotated[int, Field(ge=1, le=2880, strict=True)] = Field(description="Working time.")
    parts: tuple[Line, ...] = Field((), max_length=60, description="What goes in.")
    tools: tuple[Line, ...] = Field((), max_length=30, description="What is used.")
    cautions: tuple[Fact, ...] = Field((), max_length=12, description="Dangers in this step.")
    wait: Wait | None = Field(None, description="Setting time afterwards.")
    pictures: tuple[StepPicture, ...] = Field((), max_length=12, description="Pictures.")


class NotesHead(FileModel):
    """Front matter of ``notes.md``."""

    fitting: tuple[Line, ...] = Field((), max_length=40, description="Known hand-fitting work.")
    problems: tuple[Line, ...] = Field((), max_length=40, description="Known problems.")


class Flight(FileModel):
    """One entry of ``log.yaml``."""

    date: datetime.date = Field(description="Day of the flight, as 2026-05-30.")
    conditions: Line = Field(description="Wind, weather, ground.")
    battery: Line | None = Field(None, description="Which battery.")
    battery_x: Length | None = Field(None, description="Where its middle sat.")
    mass: Mass | None = Field(None, description="Weighed, ready to fly.")
    balance: BalanceMark | None = Field(None, description="Where it was found to balance.")
    happened: Prose = Field(description="What it did.")
    changed: Prose | None = Field(None, description="What was changed afterwards.")


class FlightLog(FileModel):
    """``log.yaml``."""

    flights: tuple[Flight, ...] = Field(max_length=500, description="Oldest first.")


class Origin(FileModel):
    """Where a design was taken from."""

    design: Line = Field(description="Its folder's name there.")
    name: Line = Field(description="What it was called.")
    revision: Line = Field(description="Its revision letter.")
    date: datetime.date = Field(description="Date of that revision.")
    fingerprint: Annotated[str, StringConstraints(pattern=r"^[0-9a-f]{64}$")] = Field(
        description="Hash of its files, as its pages show it."
    )
    designer: Line = Field(description="Who designed it.")
    licence: Line = Field(description="Licence of the plans.")


class OriginFile(FileModel):
    """``origin.yaml``: written when a design is taken into a library, and kept from then on."""

    plansgen: Literal[1] = Field(description="Version of this file format.")
    origins: tuple[Origin, ...] = Field(
        min_length=1, max_length=20, description="First the oldest."
    )
