"""Outlines of sections that a design gives as files of points."""

from __future__ import annotations

from collections.abc import Iterator

from plansgen.library.design import Points
from plansgen.library.desk import Desk
from plansgen.library.files import safe_child
from plansgen.library.models import DesignFile, Section
from plansgen.library.source import Source
from plansgen.library.text import Place, read_text
from plansgen.problems import BadInput


def _sections(file: DesignFile) -> Iterator[tuple[Place, Section]]:
    """Every section of a design, with the path to it."""
    for key, surface in file.surfaces.items():
        if surface.section is not None:
            yield ("surfaces", key, "section"), surface.section
        for number, station in enumerate(surface.stations):
            if station.section is not None:
                yield ("surfaces", key, "stations", number, "section"), station.section


def section_points(desk: Desk, file: DesignFile, source: Source) -> dict[str, Points]:
    """Points of every file that a section names, by its name; what is wrong goes to the desk."""
    found: dict[str, Points] = {}
    for path, section in _sections(file):
        if section.file is None or section.file in found:
            continue
        try:
            child = safe_child(desk.folder, section.file, kinds={"text"})
            text = read_text(child, shown=desk.name(section.file))
            found[section.file] = _parse_points(desk, section.file, text)
            desk.taken(section.file, text.encode())
        except ValueError as wrong:
            desk.problems.append(source.problem(path, str(wrong)))
        except BadInput as bad:
            desk.problems.extend(bad.problems)
    return found


def _parse_points(desk: Desk, file: str, text: str) -> Points:
    """Read x y pairs; a first line of words is a title. At least ten points make an outline."""
    points: list[tuple[float, float]] = []
    for number, line in enumerate(text.splitlines(), 1):
        words = line.replace(",", " ").split()
        if not words or line.lstrip().startswith("#"):
            continue
        try:
            x, z = (float(word) for word in words)
        except ValueError:
            if number == 1:
                continue
            desk.trouble(
                file, number, "", f"{line[:40]!a} is not a pair", allowed="two numbers x y"
            )
            return ()
        if not (abs(x) < 1e4 and abs(z) < 1e4):
            desk.trouble(file, number, "", f"{line[:40]!a} is not finite", allowed="plain numbers")
            return ()
        points.append((x, z))
    xs = [x for x, _ in points]
    if not 10 <= len(points) <= 2000 or max(xs) - min(xs) < 1e-6:
        desk.trouble(
            file, 0, "", f"holds {len(points)} points", allowed="10 to 2000 around a section"
        )
        return ()
    if min(xs[0], xs[-1]) < max(xs) - 0.1 * (max(xs) - min(xs)):
        desk.trouble(
            file,
            0,
            "",
            "does not begin and end at the trailing edge",
            allowed="points from the trailing edge over the top to the leading edge, and back "
            "underneath",
        )
        return ()
    return tuple(points)
