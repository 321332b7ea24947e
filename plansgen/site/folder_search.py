"""The search index as a program: from a plain folder a page may read no file, but run one."""

from __future__ import annotations

from pathlib import Path

INDEX = "search/search_index.json"
PROGRAM = "search/search_index.js"


def write_folder_index(site: Path) -> None:
    """Write the engine's search index once more, for pages opened from a folder.

    site: folder of the built site. A library without a search has no index, and gets none.
    """
    index = site / INDEX
    if index.is_file():
        # Two signs are ends of line in programs before ECMAScript 2019, though not in JSON.
        text = index.read_text("utf-8").strip()
        text = text.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")
        (site / PROGRAM).write_text(f"pgSearchIndex({text});\n", encoding="utf-8", newline="\n")
