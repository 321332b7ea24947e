"""The shape of a lifting surface cut fore and aft."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, StringConstraints
from pydantic import model_validator as check

from plansgen.library.models.fields import FileModel, Line
from plansgen.library.units import ChordShare, PositiveLength, Share


def _section_from_text(value: Any) -> Any:
    """Let a section be written as a few words: ``NACA 2412``, ``points sections/gull.txt``."""
    if not isinstance(value, str):
        return value
    word, _, rest = value.strip().partition(" ")
    if word.lower() == "naca":
        return {"kind": "naca", "digits": rest.strip()}
    if word.lower().startswith("naca") and word[4:].isdigit():
        return {"kind": "naca", "digits": word[4:]}
    if word.lower() == "points" and rest:
        return {"kind": "points", "file": rest.strip()}
    return {"kind": value.strip()}


_SECTION_NEEDS: dict[str, tuple[str, ...]] = {
    "naca": ("digits",),
    "plate": ("thickness",),
    "cambered plate": ("thickness", "camber"),
    "folded sheet": ("thickness", "spar_height"),
    "points": ("file",),
}
_SECTION_MAY: dict[str, tuple[str, ...]] = {
    "cambered plate": ("camber_at",),
    "folded sheet": ("spar_at",),
}


class Section(FileModel):
    """The shape of a lifting surface cut fore and aft."""

    kind: Literal["naca", "plate", "cambered plate", "folded sheet", "points"] = Field(
        description="naca (four digits), plate (flat sheet), cambered plate (bent to an arc), "
        "folded sheet (a skin scored at the leading edge and folded over a spar), points (a file)."
    )
    digits: Annotated[str, StringConstraints(pattern=r"^\d{4}$")] | None = Field(
        None,
        description="The four digits of a NACA section, in quotes: camber, its place, thickness.",
    )
    thickness: PositiveLength | None = Field(None, description="Thickness of the sheet.")
    camber: Share | None = Field(None, description="Greatest camber as a share of the chord.")
    camber_at: ChordShare = Field(
        0.4, description="Where the greatest camber is, from the leading edge."
    )
    spar_height: PositiveLength | None = Field(
        None, description="Height of the spar between the skins of a folded sheet."
    )
    spar_at: ChordShare = Field(0.3, description="Where the spar stands, from the leading edge.")
    file: Line | None = Field(
        None, description="Text file with one x y pair a line, trailing edge over the top and back."
    )

    @check(mode="after")
    def _complete(self) -> Self:
        """Each kind has its own numbers: none missing, none without effect."""
        needs = _SECTION_NEEDS[self.kind]
        missing = [name for name in needs if getattr(self, name) is None]
        if missing:
            raise ValueError(f"a section of kind {self.kind} needs {' and '.join(missing)}")
        allowed = {"kind", *needs, *_SECTION_MAY.get(self.kind, ())}
        idle = sorted(self.model_fields_set - allowed)
        if idle:
            raise ValueError(f"a section of kind {self.kind} has no {' and no '.join(idle)}")
        for name in _SECTION_MAY.get(self.kind, ()):
            if not 0.0 < getattr(self, name) < 1.0:
                raise ValueError(f"{name} must lie between the leading and the trailing edge")
        if self.digits is not None and (self.digits[0] == "0") != (self.digits[1] == "0"):
            raise ValueError(
                f"NACA {self.digits} has camber without its place, or the place without camber; "
                "the first two digits are both 0 or neither"
            )
        return self


SectionField = Annotated[Section, BeforeValidator(_section_from_text)]
