"""Parts whose shape is an SVG file of the design's folder: read once, then held as points."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from plansgen.library.drawing import Drawing, read_drawing
from plansgen.library.files import safe_child
from plansgen.library.models import DesignFile, Part
from plansgen.library.stock import Trouble
from plansgen.library.text import Place, read_text

Taken = Callable[[str, bytes], None]


def with_drawings(
    file: DesignFile, folder: Path, *, shown: str, trouble: Trouble, taken: Taken
) -> DesignFile:
    """The design with every drawing in the place of its file's name.

    Args:
        file: As validated.
        folder: The design's folder.
        shown: Its path as shown to the author.
        trouble: Notes what is wrong, at a place of the design file.
        taken: Counts what was read into the fingerprint.

    Raises:
        BadInput: a drawing is not text that can be shown.
    """
    reader = _Reader(folder, shown, trouble, taken)
    update = {
        name: {
            key: one.model_copy(update={"parts": reader.parts((name, key), one.parts)})
            for key, one in getattr(file, name).items()
        }
        for name in ("surfaces", "bodies")
    }
    loose = reader.parts((), file.parts)
    return file.model_copy(update={**update, "parts": loose}) if reader.found else file


class _Reader:
    def __init__(self, folder: Path, shown: str, trouble: Trouble, taken: Taken) -> None:
        self.folder = folder
        self.shown = shown
        self.trouble = trouble
        self.taken = taken
        self.found: dict[str, Drawing | None] = {}

    def parts(self, path: Place, parts: Sequence[Part]) -> tuple[Part, ...]:
        return tuple(
            self._part((*path, "parts", number), part) for number, part in enumerate(parts)
        )

    def _part(self, path: Place, part: Part) -> Part:
        name = part.drawing
        if name is None:
            return part
        if name not in self.found:
            self.found[name] = self._read((*path, "drawing"), name)
        drawing = self.found[name]
        if drawing is None:
            return part
        update = {"outline": drawing.outline, "holes": drawing.holes, "drawing": None}
        return part.model_copy(update=update)

    def _read(self, path: Place, name: str) -> Drawing | None:
        try:
            child = safe_child(self.folder, name, kinds={"drawing"})
            text = read_text(child, shown=f"{self.shown}/{name}")
            self.taken(name, text.encode())
            return read_drawing(text)
        except ValueError as wrong:
            words = str(wrong)
            self.trouble(path, words if name in words else f"{name} {words}")
            return None
