"""Settings of a library that are plansgen's own: what stands under ``extra:`` in mkdocs.yml."""

from __future__ import annotations

from pathlib import Path

import yaml

from plansgen.problems import BadInput, Problem

FILE = "mkdocs.yml"


def extra_setting(library: Path, name: str) -> object:
    """What a library's mkdocs.yml says under ``extra:`` and this name; None when it says nothing.

    Raises:
        BadInput: the file cannot be read as YAML.
    """
    try:
        text = (library / FILE).read_text("utf-8")
        config = yaml.load(text, Loader=_Loader)
    except (yaml.YAMLError, UnicodeDecodeError) as error:
        line = getattr(getattr(error, "problem_mark", None), "line", -1) + 1
        raise BadInput([Problem(FILE, line, "", "is not YAML in UTF-8")]) from error
    extra = config.get("extra") if isinstance(config, dict) else None
    return extra.get(name) if isinstance(extra, dict) else None


class _Loader(yaml.SafeLoader):
    """Reads plain values; what a tag of the site engine stands for is not needed here."""


def _nothing(_loader: yaml.Loader, _suffix: str, _node: yaml.Node) -> None:
    return None


_Loader.add_multi_constructor("", _nothing)
