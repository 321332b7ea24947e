"""Which templates a library uses: its own where it has them, the packaged ones elsewhere."""

from __future__ import annotations

import shutil
from pathlib import Path

FOLDER = "site_templates"


def packaged_templates() -> Path:
    """Return the folder of templates that come with the program.

    An installed package carries it inside; in a checkout it stands beside the package.

    Raises:
        FileNotFoundError: the installation is incomplete.
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / FOLDER, package.parent / FOLDER):
        if folder.is_dir():
            return folder
    raise FileNotFoundError(f"no {FOLDER} folder in or beside {package}; install plansgen again")


def template_roots(library: Path) -> tuple[Path, ...]:
    """Return the folders to look in for a template, the one that wins first."""
    packaged = packaged_templates()
    own = library.resolve() / FOLDER
    return (own, packaged) if own.is_dir() and own != packaged else (packaged,)


def overlay_files(roots: tuple[Path, ...], subfolder: str) -> dict[str, Path]:
    """Map each relative name under ``subfolder`` to the file that wins, sorted by name."""
    found: dict[str, Path] = {}
    for root in reversed(roots):
        base = root / subfolder
        found |= {
            path.relative_to(base).as_posix(): path for path in base.rglob("*") if path.is_file()
        }
    return dict(sorted(found.items()))


def write_theme(library: Path, target: Path) -> None:
    """Write the merged theme of a library into ``target``, replacing what was there.

    ``target`` is the folder that ``theme.custom_dir`` of the library's mkdocs.yml names.
    """
    if target.exists():
        shutil.rmtree(target)
    target.mkdir(parents=True)
    for name, source in overlay_files(template_roots(library), "theme").items():
        copy = target / name
        copy.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source, copy)
