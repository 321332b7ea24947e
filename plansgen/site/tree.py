"""Writing the docs tree: only what changed is written, and what is no longer wanted goes."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path, PurePosixPath


def write_tree(root: Path, files: Mapping[str, bytes]) -> None:
    """Make a folder hold exactly these files.

    files: bytes by relative path with forward slashes. Unchanged files keep their time stamps.

    Raises:
        ValueError: a path leaves the folder.
    """
    root.mkdir(parents=True, exist_ok=True)
    for name in sorted(files):
        path = root / _inside(name)
        path.parent.mkdir(parents=True, exist_ok=True)
        if not path.is_file() or path.read_bytes() != files[name]:
            path.write_bytes(files[name])
    _prune(root, {root / name for name in files})


def _inside(name: str) -> PurePosixPath:
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or not path.parts:
        raise ValueError(f"{name} is no path inside the docs tree")
    return path


def _prune(root: Path, wanted: set[Path]) -> None:
    for path in sorted(root.rglob("*"), reverse=True):
        if path.is_dir() and not path.is_symlink():
            if not any(path.iterdir()):
                path.rmdir()
        elif path not in wanted:
            path.unlink()
