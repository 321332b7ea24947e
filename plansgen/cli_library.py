"""The commands that keep a library: freeze a revision, take a design in, see what a piece does."""
# ruff: noqa: D301 - the help texts hold click's mark for lines that keep their breaks

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import click

from plansgen.cli_shared import count, library_of, library_option
from plansgen.library.design import Design
from plansgen.library.folder import slug_of
from plansgen.library.frozen import changed_since
from plansgen.library.text import first_of
from plansgen.library.used import changed_pieces


@click.command()
@library_option
@click.argument("design")
@click.option("--revision", required=True, metavar="LETTER", help="The letter in its design file.")
@click.option("--because", required=True, metavar="TEXT", help="What was changed, and why.")
def freeze(library: Path | None, design: str, revision: str, because: str) -> None:
    """Freeze a revision of a design as it stands.

    Everything that the design is made of, its shared pieces too, goes into
    designs/DESIGN/revisions/LETTER/ with a list of hashes, and stays as it is: a frozen file that
    is changed later is refused. The letter and the date are those of the design file, and come
    after those that are frozen.

    \b
    Examples:
      plansgen freeze dunlin --revision B --because "Spar moved aft after the nose-over"
    """
    from plansgen.library.frozen import freeze as freeze_design

    home = library_of(library)
    slug = slug_of(home, design)
    frozen = freeze_design(home, slug, revision=revision, because=because)
    click.echo(
        f"{slug}: revision {frozen.revision} of {frozen.date} is frozen: "
        f"{count(len(frozen.files), 'file')}, {frozen.whole[:16]}."
    )
    click.echo("Give the design file the next letter and date before you change anything.")


@click.command()
@library_option
@click.argument("file", type=click.Path(exists=True, path_type=Path))
@click.option("--as", "slug", metavar="NAME", help="Name of the new folder in designs/.")
def take(library: Path | None, file: Path, slug: str | None) -> None:
    """Take somebody's design into your library.

    FILE is a take-away ZIP of a design's pages, or a design's folder. It is read and checked like
    any design, with limits on what may come in; nothing of yours is written over. Credits stay in
    the design file, and origin.yaml keeps where it is from.

    \b
    Examples:
      plansgen take ~/downloads/dunlin-B.zip
      plansgen take ~/downloads/dunlin-B.zip --as dunlin-of-the-other-club
    """
    from plansgen.library.take import take as take_design

    home = library_of(library)
    taken = take_design(home, file, slug=slug)
    found = taken.design.file
    with_them = f", with revisions {', '.join(taken.revisions)}" if taken.revisions else ""
    click.echo(
        f"took designs/{taken.slug}: {found.name}, revision {found.revision} of {found.date}"
        f"{with_them}."
    )
    click.echo(f"Designed by {found.credits.designer}; licence: {found.credits.licence}.")
    for name in taken.left:
        click.echo(f"left behind, because the design does not use it: {name}")


def tell_changed_since(home: Path, design: Design) -> None:
    """Say when a design goes on under a letter that is frozen."""
    changed = changed_since(home, design)
    if changed:
        letter = design.file.revision
        click.echo(
            f"{design.slug}: revision {letter} is frozen, and was changed since in "
            f"{first_of(changed, 4)}. Give it the next letter."
        )


def tell_changed_pieces(home: Path, chosen: Sequence[str]) -> None:
    """Say which shared pieces are not as they were frozen, and which designs that touches."""
    for name, uses in changed_pieces(home).items():
        users = [use.design for use in uses]
        if set(users) & set(chosen):
            click.echo(
                f"shared piece {name} was changed since a revision with it was frozen; used by "
                f"{', '.join(users)}. See: plansgen check --shared {name}"
            )


def tell_effects(home: Path, name: str) -> None:
    """Print what a shared piece does to the numbers of the designs that use it."""
    from plansgen.changes.piece import effects_of

    effects = effects_of(home, name)
    for effect in effects:
        if not effect.revision:
            click.echo(f"{effect.design}: no revision is frozen to compare with")
            continue
        place = f"{effect.design}, against revision {effect.revision}"
        if not effect.changed:
            click.echo(f"{place}: {name} is as it was")
        for number in effect.numbers:
            was, now = number.was or "not known", number.now or "not known"
            click.echo(f"{place}: {number.label}: {was}, now {now}: {number.words}")
        if effect.changed and not effect.numbers:
            click.echo(f"{place}: no number changes by as much as shows")
        if effect.others:
            click.echo(f"{place}: also changed, with a share in this: {first_of(effect.others, 4)}")
    click.echo(f"{count(len(effects), 'design')} with {name}.")
