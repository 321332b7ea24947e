"""Make a new library, or add a drafted design to one."""

from __future__ import annotations

from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

from plansgen.problems import BadInput, Problem
from plansgen.starter.draft import Draft, environment

FIRST_DESIGN = "sanderling"


def config_text(site_name: str) -> str:
    """The mkdocs.yml of a library of that name."""
    return environment().get_template("mkdocs.yml.j2").render(site_name=site_name)


def start_library(folder: Path, *, site_name: str) -> tuple[str, ...]:
    """Write a new library and return the names of its files, sorted.

    Raises:
        BadInput: the folder exists and is not empty, or is no folder.
        OSError: it cannot be written.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        wrong = "is not empty" if folder.is_dir() else "is a file"
        raise BadInput([Problem(str(folder), 0, "", wrong, "a new or empty folder")])
    texts = {
        "mkdocs.yml": config_text(site_name),
        "README.md": environment().get_template("README.md.j2").render(site_name=site_name),
        ".gitignore": _templates().joinpath("gitignore").read_text("utf-8"),
        **_texts(_templates().joinpath(FIRST_DESIGN), f"designs/{FIRST_DESIGN}"),
    }
    for name, text in sorted(texts.items()):
        _write(folder / name, text)
    return tuple(sorted(texts))


def add_design(library: Path, slug: str, draft: Draft) -> Path:
    """Write a drafted design into a library and return its file.

    Raises:
        BadInput: there is something of that name already.
        OSError: it cannot be written.
    """
    folder = library / "designs" / slug
    if folder.exists() or folder.is_symlink():
        raise BadInput([Problem(f"designs/{slug}", 0, "", "exists already", "another name")])
    _write(folder / "design.yaml", draft.text)
    return folder / "design.yaml"


def _templates() -> Traversable:
    return files("plansgen.starter").joinpath("templates")


def _texts(folder: Traversable, shown: str) -> dict[str, str]:
    found: dict[str, str] = {}
    for entry in folder.iterdir():
        name = f"{shown}/{entry.name}"
        found |= _texts(entry, name) if entry.is_dir() else {name: entry.read_text("utf-8")}
    return found


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8", newline="\n")
