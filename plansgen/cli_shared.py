"""What the commands share: the group that ends every failure in plain words, and the options."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from plansgen.library.folder import find_library
from plansgen.problems import BadInput, Problem
from plansgen.site.system import os_words

if TYPE_CHECKING:
    from plansgen.site.cache import OutputCache

FINDINGS, BAD_INPUT, INTERRUPTED = 1, 2, 130


class Program(click.Group):
    """The group of commands; known failures end in one line each and an exit code."""

    def invoke(self, ctx: click.Context) -> Any:
        """Run a command. Bugs keep their traceback."""
        if os.environ.get("NO_COLOR"):
            ctx.color = False
        try:
            return super().invoke(ctx)
        except BadInput as bad:
            tell_problems(bad.problems)
            ctx.exit(BAD_INPUT)
        except BrokenPipeError:
            raise  # click's own business: the reader of our output has gone
        except OSError as error:
            tell(os_words(error))
            ctx.exit(BAD_INPUT)
        except (KeyboardInterrupt, click.Abort):
            tell("Stopped.")
            ctx.exit(INTERRUPTED)


def tell(text: str) -> None:
    """One line of bad news."""
    click.secho(text, fg="red", err=True)


def tell_problems(problems: Sequence[Problem]) -> None:
    """Every problem, one line each."""
    for problem in problems:
        tell(str(problem))


library_option = click.option(
    "--library",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    help="The library: a folder with designs/ and mkdocs.yml. Default: the nearest one upward.",
)


def library_of(given: Path | None) -> Path:
    """The library given, or the nearest one upward."""
    found = given.resolve() if given else find_library(Path.cwd())
    if found is None or not (found / "designs").is_dir() or not (found / "mkdocs.yml").is_file():
        where = given or "this folder or above it"
        raise click.UsageError(
            f"No library in {where}: a library has designs/ and mkdocs.yml. "
            "Make one with: plansgen start DIR"
        )
    return found


def count(number: int, word: str) -> str:
    """A number and its word, in the plural where it needs it."""
    return f"{number} {word}{'s' if number != 1 else ''}"


def cache_options(command: Callable[..., None]) -> Callable[..., None]:
    """The options that choose where finished designs are kept."""
    where = click.option(
        "--cache",
        type=click.Path(file_okay=False, path_type=Path),
        envvar="PLANSGEN_CACHE",
        show_envvar=True,
        help="Where finished designs are kept, so that unchanged ones are not made again. "
        "Default: the system's folder for such things. Keep it out of reach of others: what "
        "lies there goes into the site.",
    )
    without = click.option(
        "--no-cache", is_flag=True, help="Make every design; keep none. The site is the same."
    )
    return where(without(command))


def cache_of(given: Path | None, *, no_cache: bool) -> OutputCache | None:
    """The cache that the options mean."""
    from plansgen.site.cache import OutputCache, usual_folder

    return None if no_cache else OutputCache((given or usual_folder()).resolve())
