"""Links with which a builder reports what did not fit: a letter begun, to the library's contact."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from jinja2 import Environment

from plansgen.dossier import Dossier
from plansgen.library.contact import Contact
from plansgen.site.steps import StepView

# Mail programs take addresses of some 2000 characters, and one letter may need nine of them.
_LONGEST_LINE = 120
_MOST_PARTS = 12
_ASKED = "What did not fit, by how much, and what did you do about it?"


@dataclass(frozen=True)
class Report:
    """Letters about one design."""

    contact: Contact
    dossier: Dossier

    def page(self, title: str) -> str:
        """A letter about one of its pages."""
        return self._link(title, [f"Page: {title}"])

    def step(self, number: int, step: StepView) -> str:
        """A letter about a build step; number: from 1."""
        title = _cut(step.head.title)
        lines = [f"Page: Build, step-{step.key}", f"Step {number}: {title}"]
        if step.head.parts:
            lines += ["Part (keep the one it is about):", *_listed(step.head.parts)]
        return self._link(f"step {number}", lines)

    def part(self, key: str, name: str) -> str:
        """A letter about a flat part."""
        return self._link(_cut(name), [f"Page: Parts, part-{key}", f"Part: {_cut(name)}"])

    def _link(self, about: str, lines: Sequence[str]) -> str:
        of = self.dossier
        head = [f"Design: {_cut(of.name)} ({of.slug})", f"Revision: {_cut(str(of.revision))}"]
        subject = f"{of.slug}, revision {_cut(str(of.revision))}, {about}: what did not fit"
        return self.contact.link(subject, _body([*head, *lines]))


@dataclass(frozen=True)
class LibraryReport:
    """Letters about the library's own pages."""

    contact: Contact
    site_name: str

    def page(self, title: str) -> str:
        """A letter about one of its pages."""
        name = _cut(self.site_name)
        return self.contact.link(
            f"{name}, {title}: what is wrong", _body([f"Library: {name}", f"Page: {title}"])
        )


def with_link(environment: Environment, text: str, link: str | None) -> str:
    """A page with the link for a letter about it at its end; as it is when there is none."""
    if link is None:
        return text
    return text.rstrip() + "\n\n" + environment.get_template("_report.j2").render(link=link)


def _listed(parts: Sequence[str]) -> list[str]:
    rest = len(parts) - _MOST_PARTS
    shown = [f"- {_cut(part)}" for part in parts[:_MOST_PARTS]]
    return [*shown, f"- and {rest} more"] if rest > 0 else shown


def _body(lines: Sequence[str]) -> str:
    return "\n".join([*lines, "", _ASKED, "", ""])


def _cut(text: str) -> str:
    """A text on one line and of a bearable length."""
    flat = " ".join(text.split())
    return flat if len(flat) <= _LONGEST_LINE else flat[: _LONGEST_LINE - 1] + "…"
