"""What every file model is made of: plain texts, counts, choices, places and sizes."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, StringConstraints

from plansgen.library.units import Length, PositiveLength

Line = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=120)]
Name = Annotated[
    str, StringConstraints(strip_whitespace=True, pattern=r"""^[^<>&"`{}\[\]\\|*_#]{1,60}$""")
]
Prose = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=4000)]
Key = Annotated[str, StringConstraints(pattern=r"^[a-z][a-z0-9_]{0,30}$")]
Count = Annotated[int, Field(ge=1, le=500, strict=True)]

Status = Literal["sketch", "built", "flown"]
Skill = Literal["first build", "some builds", "practised"]
Layout = Literal["conventional", "tailless", "canard", "tandem", "biplane"]
SurfaceRole = Literal["wing", "tailplane", "fin", "vee-tail", "canard"]
BodyRole = Literal["fuselage", "nacelle", "boom", "pod", "float"]
ControlKind = Literal["aileron", "elevator", "rudder", "elevon", "flap", "flaperon", "ruddervator"]
ItemKind = Literal[
    "motor",
    "propeller",
    "speed controller",
    "servo",
    "receiver",
    "linkage",
    "undercarriage",
    "hardware",
    "ballast",
    "payload",
    "other",
]
Launch = Literal["hand", "ground", "water", "bungee", "winch"]


class FileModel(BaseModel):
    """Base of everything read from a file: frozen, and unknown keys are refused."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", populate_by_name=False, validate_default=False
    )


def assumed(description: str, words: str, **kwargs: Any) -> Any:
    """Describe a field whose default is an assumption that the page must show."""
    return Field(description=description, json_schema_extra={"assumed": words}, **kwargs)


class Point(FileModel):
    """A place in the body frame."""

    x: Length = Field(0.0, description="Distance aft of the datum.")
    y: Length = Field(0.0, description="Distance to starboard of the centre line.")
    z: Length = Field(0.0, description="Distance above the datum.")


class Size(FileModel):
    """Outside dimensions of a block."""

    x: PositiveLength = Field(description="Length, fore and aft.")
    y: PositiveLength = Field(description="Width, athwartships.")
    z: PositiveLength = Field(description="Height.")
