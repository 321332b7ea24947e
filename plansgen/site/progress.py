"""Progress of a build: a live bar on a terminal, plain lines elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeElapsedColumn


@contextmanager
def shown_progress() -> Iterator[Callable[[str, int, int], None]]:
    """Give a function (what, done, total) that shows how far the build is."""
    console = Console(stderr=True)
    if not console.is_terminal:
        yield _plain
        return
    columns = (
        TextColumn("{task.description:8}"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeElapsedColumn(),
    )
    with Progress(*columns, console=console, transient=True) as bar:
        tasks: dict[str, object] = {}

        def live(what: str, done: int, total: int) -> None:
            if what not in tasks:
                tasks[what] = bar.add_task(what, total=total)
            bar.update(tasks[what], completed=done, total=total)  # type: ignore[arg-type]

        yield live


def _plain(what: str, done: int, total: int) -> None:
    """One line at the start of each stage, one at its end."""
    if done in (0, total):
        Console(stderr=True).print(f"{what}: {done} of {total}", highlight=False)
