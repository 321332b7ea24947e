"""Openings in a sheet: windows, hatches, servo wells, holes for leads."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field
from pydantic import model_validator as check

from plansgen.library.models.fields import FileModel, Line
from plansgen.library.units import ChordShare, Length, NonNegativeLength, PositiveLength

Side = Literal["top", "bottom", "port", "starboard", "both sides", "front", "rear"]
"""The skin or the panel that an opening is cut in."""

Sheet = Literal["skin", "deck", "side", "end", "rectangle"]
"""What an opening lies in: a skin or a plate of a surface; top or bottom of a body; a side of it;
an end or a former; a rectangle."""

_WORDS: dict[Sheet, str] = {
    "skin": "a surface",
    "deck": "the top or bottom of a body",
    "side": "the sides of a body",
    "end": "formers, front or rear",
    "rectangle": "a plate",
}
_NEEDED: dict[Sheet, tuple[str, ...]] = {
    "skin": ("from", "to", "width"),
    "deck": ("from", "to"),
    "side": ("from", "to", "height"),
    "end": ("width", "height"),
    "rectangle": ("from", "to", "width"),
}
_PLACED: dict[Sheet, tuple[str, ...]] = {
    "skin": ("at", "behind"),
    "deck": ("width", "y"),
    "side": ("z",),
    "end": ("y", "z"),
    "rectangle": ("y",),
}
_MEASURES = ("from", "to", "at", "behind", "y", "z", "width", "height")


class Opening(FileModel):
    """A hole cut in a sheet, by where its ends and its middle lie, or by what goes through it."""

    name: Line = Field(description="What it is for.")
    on: Side | None = Field(
        None,
        description="Which skin or panel, where the cover has several: top or bottom; on a body "
        "also port, starboard, both sides, front, rear. Left out on sides: both sides.",
    )
    from_: Length | None = Field(
        None,
        alias="from",
        description="One end: along the span, x on a body, along a plate from its end.",
    )
    to: Length | None = Field(None, description="The other end.")
    at: ChordShare | None = Field(
        None, description="On a surface: share of the chord that its middle lies at."
    )
    behind: NonNegativeLength | None = Field(
        None, description="In place of at: how far its middle lies behind the leading edge."
    )
    y: Length | None = Field(
        None,
        description="On top, bottom, ends, formers and plates: its middle to starboard of the "
        "middle. Left out: 0.",
    )
    z: Length | None = Field(
        None,
        description="On sides, ends and formers: its middle above the body's own place. Left "
        "out: 0.",
    )
    width: PositiveLength | None = Field(
        None,
        description="Across it: along the chord on a surface, from side to side on a body or a "
        "plate. Left out on top or bottom: right across, so that the panel is in pieces.",
    )
    height: PositiveLength | None = Field(
        None, description="On sides, ends and formers: its height."
    )
    round: bool = Field(
        False, description="True for a round hole, or an oval one, as large.", strict=True
    )
    item: Line | None = Field(
        None,
        description="In place of ends, middle and width: the item that goes through. The opening "
        "is as large as it and 0.5 mm free all round.",
    )

    @check(mode="after")
    def _has_length(self) -> Self:
        if self.from_ is not None and self.to is not None and self.to <= self.from_:
            raise ValueError("to must lie beyond from")
        if self.at is not None and self.behind is not None:
            raise ValueError("give at or behind, not both")
        if self.item is not None and self.given:
            raise ValueError("an opening for an item takes its place and size from it")
        return self

    @property
    def given(self) -> list[str]:
        """The measures that are given, as they are called in the file."""
        values = (getattr(self, "from_" if name == "from" else name) for name in _MEASURES)
        return [name for name, value in zip(_MEASURES, values, strict=True) if value is not None]

    def wrong_for(self, sheet: Sheet) -> str:
        """What it lacks or has too much of to lie in such a sheet; empty when nothing."""
        words, needed = _WORDS[sheet], _NEEDED[sheet]
        if self.item is not None:
            return ""
        missing = [name for name in needed if name not in self.given]
        if sheet == "skin" and self.at is None and self.behind is None:
            missing.append("at or behind")
        if missing:
            return f"an opening in {words} needs {' and '.join(missing)}"
        idle = [name for name in self.given if name not in (*needed, *_PLACED[sheet])]
        if idle:
            return f"{' and '.join(idle)} does not go with an opening in {words}"
        if self.round and sheet == "deck" and self.width is None:
            return "a round opening needs width"
        return ""


def lies_in(side: Side | None, cover: str | None) -> tuple[Sheet | None, str]:
    """What kind of sheet an opening lies in, and else why it cannot.

    Args:
        side: Its ``on``.
        cover: Of its part; None for a plate or formers is not asked here.
    """
    if cover == "plate" and side is None:
        return "skin", ""
    sides: dict[str, tuple[str, ...]] = {
        "plate": (),
        "top skin": ("top",),
        "bottom skin": ("bottom",),
        "both skins": ("top", "bottom"),
        "sides": ("port", "starboard", "both sides"),
        "top": ("top",),
        "bottom": ("bottom",),
        "front": ("front",),
        "rear": ("rear",),
        "all": ("top", "bottom", "port", "starboard", "both sides", "front", "rear"),
    }
    allowed = sides[cover or "plate"]
    if side is None and cover == "sides":
        side = "both sides"
    if side is None and len(allowed) == 1:
        side = allowed[0]  # type: ignore[assignment]
    if side not in allowed:
        choice = ", ".join(allowed) or "nothing"
        return None, f"on is one of {choice}, with cover {cover}"
    if (cover or "").endswith(("skin", "skins")):
        return "skin", ""
    kinds: dict[str, Sheet] = {"top": "deck", "bottom": "deck", "front": "end", "rear": "end"}
    return kinds.get(side or "", "side"), ""
