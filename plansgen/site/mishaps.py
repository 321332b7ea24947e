"""What an author can mend when a build fails, in lines of plain words."""

from __future__ import annotations

import traceback
from pathlib import Path

from jinja2 import TemplateError, TemplateNotFound, TemplateSyntaxError

from plansgen.problems import BadInput
from plansgen.site.engine import EngineError
from plansgen.site.publish import PublishError
from plansgen.site.system import os_words


def mishap_lines(error: BaseException) -> tuple[str, ...]:
    """One line for each thing wrong; none when it is a fault of the program itself."""
    if isinstance(error, BadInput):
        return tuple(str(problem) for problem in error.problems)
    if isinstance(error, EngineError | PublishError):
        return tuple(line for line in str(error).splitlines() if line.strip())
    if isinstance(error, TemplateError):
        return (_template_words(error),)
    if isinstance(error, OSError):
        return (os_words(error),)
    return ()


def _template_words(error: TemplateError) -> str:
    message = " ".join(str(error.message or error).split())
    if isinstance(error, TemplateSyntaxError):
        return f"{_shown(error.filename or error.name or '')}:{error.lineno}: {message}"
    if isinstance(error, TemplateNotFound):
        return f"site_templates: there is no template {error.name}"
    frames = traceback.extract_tb(error.__traceback__)
    place = next((f for f in reversed(frames) if f.filename.endswith(".j2")), None)
    where = f"{_shown(place.filename)}:{place.lineno}" if place else "a page template"
    return f"{where}: {message}"


def _shown(file: str) -> str:
    """The end of a template's path, which is the same on every machine."""
    return "/".join(("site_templates", *Path(file).parts[-2:]))
