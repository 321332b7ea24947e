"""Build steps that were added, taken away or changed."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from plansgen.library.design import Step

_SHOWN = ("title", "minutes", "parts", "tools", "cautions", "wait", "pictures")
_WORDS = {"minutes": "working time", "wait": "waiting time", "cautions": "dangers"}


@dataclass(frozen=True)
class StepChange:
    """A build step that is not what it was.

    key, title: in the new revision; of one taken away, in the old. was: its old key where it was
    only given another number or name. what: what changed, in words. gone, come: lines of its text.
    """

    kind: Literal["added", "removed", "changed", "moved"]
    key: str
    title: str
    was: str = ""
    what: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    come: tuple[str, ...] = ()


def step_changes(old: Sequence[Step], new: Sequence[Step]) -> tuple[StepChange, ...]:
    """Changes in the order of the new steps, then those that were taken away.

    A step is known again by its file name, or else by its title.
    """
    return tuple(_changes(old, new))


def _changes(old: Sequence[Step], new: Sequence[Step]) -> Iterator[StepChange]:
    before = {step.key: step for step in old}
    left = {key: step for key, step in before.items() if key not in {one.key for one in new}}
    for step in new:
        former = before.get(step.key)
        if former is None:
            key = next((k for k, s in left.items() if s.head.title == step.head.title), None)
            former = left.pop(key) if key is not None else None
        if former is None:
            yield StepChange("added", step.key, step.head.title)
            continue
        change = _change(former, step)
        if change is not None:
            yield change
    for step in left.values():
        yield StepChange("removed", step.key, step.head.title)


def _change(old: Step, new: Step) -> StepChange | None:
    what = [
        _WORDS.get(name, name)
        for name in _SHOWN
        if getattr(old.head, name) != getattr(new.head, name)
    ]
    lines = [*difflib.ndiff(old.text.splitlines(), new.text.splitlines())]
    gone = tuple(line[2:] for line in lines if line.startswith("- ") and line[2:].strip())
    come = tuple(line[2:] for line in lines if line.startswith("+ ") and line[2:].strip())
    if gone or come:
        what.append("text")
    if not what and old.key == new.key:
        return None
    was = old.key if old.key != new.key else ""
    kind: Literal["changed", "moved"] = "changed" if what else "moved"
    return StepChange(kind, new.key, new.head.title, was, tuple(what), gone, come)
