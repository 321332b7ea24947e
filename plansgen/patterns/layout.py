"""What nesting gives: which part lies where on which sheet, and how well the sheets are used."""

from __future__ import annotations

from dataclasses import dataclass

from plansgen.patterns.stock import StockSheet


@dataclass(frozen=True)
class Placement:
    """One copy of a part on a sheet.

    The part's drawing is mirrored about its y axis if ``mirrored``, then turned counter-clockwise
    by ``angle`` [rad], then moved so that its origin lies at x, y [m]: see
    :func:`plansgen.patterns.flat.placed`. copy: 1, 2, … of this part, those as drawn first.
    """

    key: str
    copy: int
    mirrored: bool
    x: float
    y: float
    angle: float


@dataclass(frozen=True)
class OwnPlacement:
    """A place that the designer chose: on the first, second, … sheet of a stock."""

    stock: str
    sheet: int
    key: str
    x: float
    y: float
    angle: float = 0.0
    mirrored: bool = False


@dataclass(frozen=True)
class NestedSheet:
    """One sheet with what is cut from it.

    used: area of the parts, without holes [m²]. cut: length of all outlines and holes [m]. reach:
    how much of the longer side is needed, with the margin [m]; the rest is one clean offcut.
    """

    stock: StockSheet
    placements: tuple[Placement, ...]
    used: float
    cut: float
    reach: float

    @property
    def waste(self) -> float:
        """Area that is not part of any part. [m²]"""
        return self.stock.area - self.used


@dataclass(frozen=True)
class LeftOut:
    """Copies of a part that lie on no sheet, and why, in words."""

    key: str
    name: str
    copies: int
    why: str


@dataclass(frozen=True)
class MaterialSheets:
    """How many sheets of a material are used, beside how many its area alone needs.

    bound: no layout with this gap and margin on the given stock can use fewer sheets. cell: side of
    the cells that the layout was found on [m].
    """

    material: str
    thickness: float
    sheets: int
    bound: int
    cell: float


@dataclass(frozen=True)
class Nesting:
    """Every part on its sheet.

    gap: least distance between parts [m]. margin: least distance to a sheet's edge [m]. own: copies
    (key, copy) that lie where the designer put them.
    """

    sheets: tuple[NestedSheet, ...]
    left_out: tuple[LeftOut, ...]
    materials: tuple[MaterialSheets, ...]
    gap: float
    margin: float
    own: tuple[tuple[str, int], ...] = ()

    @property
    def bound(self) -> int:
        """No layout on the given stock can use fewer sheets."""
        return sum(material.bound for material in self.materials)

    @property
    def area(self) -> float:
        """Of all sheets. [m²]"""
        return sum(sheet.stock.area for sheet in self.sheets)

    @property
    def used(self) -> float:
        """Area of all parts that lie on sheets. [m²]"""
        return sum(sheet.used for sheet in self.sheets)

    @property
    def waste(self) -> float:
        """Area of sheet that is not part of any part. [m²]"""
        return self.area - self.used

    @property
    def density(self) -> float:
        """Share of the sheets that becomes parts; 0 without sheets."""
        return self.used / self.area if self.sheets else 0.0

    @property
    def cut(self) -> float:
        """Length of all outlines and holes. [m]"""
        return sum(sheet.cut for sheet in self.sheets)
