"""The three goals of speed for patterns, on `dunlin`: parts, sheets, whole print set.

Run: python -m tests.bench.bench_goals. Set OMP_NUM_THREADS=1 (and OPENBLAS_NUM_THREADS=1) for one
core. CPU time, best of three; the print set is every paper of the site, files for cutters and the
plan set.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from plansgen.airframe.build import build_airframe
from plansgen.dossier import work_out_all
from plansgen.figures.all import draw_all
from plansgen.library.folder import read_design
from plansgen.patterns.cutting import cut_parts
from plansgen.patterns.nest import nest
from plansgen.patterns.stock import sheets_of
from plansgen.site.pattern_files import pattern_files
from plansgen.site.whole_figure import whole_figure
from tests.bench.timing import best

ROOT = Path(__file__).parents[2]


def main() -> None:
    """Print one line a goal."""
    design = read_design(ROOT, "dunlin")
    file, materials = design.file, design.materials
    airframe = build_airframe(file, design.section_points)
    dossier, patterns = work_out_all(design)
    assert patterns is not None
    figures = draw_all(design, dossier)
    stocks = sheets_of(file, {part.material: materials[part.material] for part in patterns.parts})
    gap, margin = file.nesting.gap, file.nesting.margin
    rows: list[tuple[str, float, Callable[[], object]]] = [
        (
            "parts",
            1.0,
            lambda: cut_parts(design, airframe),
        ),
        ("sheets", 5.0, lambda: nest(patterns.parts, stocks, gap=gap, margin=margin)),
        ("whole print set", 10.0, lambda: pattern_files(design, dossier, figures, patterns)),
        ("picture of the whole", 1.0, lambda: whole_figure(patterns, name=dossier.name)),
    ]
    print(f"{'dunlin':20} {'s':>6} {'goal':>5}")
    for name, goal, work in rows:
        took = best(work)
        print(f"{name:20} {took:6.2f} {goal:5.1f}{'  over the goal' if took > goal else ''}")


if __name__ == "__main__":
    main()
