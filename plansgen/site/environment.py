"""The template environment: library's own templates first, packaged ones behind them."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Callable, Sequence
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

from plansgen.site.format import show

_PX_PER_MM = 96 / 25.4
_FENCE = re.compile(r"^[`~](?=[`~]{2})", re.MULTILINE)
_PUNCTUATION = re.compile(r"[!-/:-@\[-`{-~]")


def yaml_text(text: str) -> str:
    """A text as a YAML double-quoted scalar that is also safe inside an HTML attribute.

    The engine's theme puts titles and descriptions into the page without escaping them.
    """
    flat = " ".join(text.split())
    return json.dumps(html.escape(flat, quote=True), ensure_ascii=False)


def heading_text(text: str) -> str:
    """A text for a Markdown heading: every mark of Markdown, HTML or attributes made harmless."""
    flat = " ".join(text.split())
    return _PUNCTUATION.sub(lambda found: f"&#{ord(found[0])};", flat)


def pixels(millimetres: float) -> int:
    """Millimetres of a drawing as CSS pixels."""
    return round(millimetres * _PX_PER_MM)


def make_environment(roots: Sequence[Path]) -> Environment:
    """Templates from ``pages/`` of each root, the first root winning."""
    environment = Environment(
        loader=FileSystemLoader([root / "pages" for root in roots]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        finalize=_no_fence,
    )
    environment.filters["yaml"] = _safe(yaml_text)
    environment.filters["heading"] = _safe(heading_text)
    environment.filters["px"] = pixels
    environment.globals["show"] = show
    return environment


def _no_fence(value: object) -> object:
    """A value in which no line begins a fenced code block of Markdown.

    The engine looks for fences before it looks for HTML, so one inside an element would tear it.
    """
    if not isinstance(value, str):
        return value
    return Markup(_FENCE.sub(lambda found: f"&#{ord(found[0])};", str(escape(value))))


def _safe(make: Callable[[str], str]) -> Callable[[object], Markup]:
    """Mark a filter's result as already escaped."""
    return lambda text: Markup(make(str(text)))
