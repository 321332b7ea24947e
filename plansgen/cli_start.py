"""The command that begins a library, or a design in one."""
# ruff: noqa: D301 - the help text holds click's mark for lines that keep their breaks

from __future__ import annotations

import datetime
import sys
from pathlib import Path
from typing import TYPE_CHECKING, get_args

import click

from plansgen.cli_shared import library_of, library_option
from plansgen.library.models import Layout
from plansgen.problems import BadInput, Problem

if TYPE_CHECKING:
    from plansgen.starter.draft import Draft

HEAVY_FOR_ITS_SIZE = 12.0  # kg/m³, cubic wing loading; common practice, no source


@click.command()
@click.argument(
    "folder", metavar="[DIR]", required=False, type=click.Path(path_type=Path, exists=False)
)
@click.option("--title", help="Name of the new library. Default: the folder's name.")
@click.option("--design", metavar="NAME", help="Add a design to the library instead.")
@click.option("--span", help='Wing span with its unit, such as "1.2 m" or "48 in".')
@click.option("--layout", type=click.Choice(get_args(Layout)), help="What kind of aeroplane.")
@click.option("--material", help="Sheet it is built from: an id of the materials page.")
@click.option("--power/--glider", "powered", default=None, help="With a motor, or without.")
@click.option("--designer", default="not named yet", help="Your name or pen name.")
@library_option
def start(
    folder: Path | None,
    title: str | None,
    design: str | None,
    span: str | None,
    layout: Layout | None,
    material: str | None,
    powered: bool | None,
    designer: str,
    library: Path | None,
) -> None:
    """Begin a library in DIR, or a design in the library you stand in.

    DIR must be new or empty. It gets its own mkdocs.yml, a README and one small glider that builds
    at once.

    With --design a new design.yaml is written: textbook proportions for the layout and span, masses
    of equipment estimated, and the nose as long as it takes to balance. It is a draft to begin
    from: nobody has flown it, and its spars are a first size. What you do not give as an
    option is asked for.

    \b
    Examples:
      plansgen start plans
      plansgen start --design stint --span "1.2 m" --layout conventional \\
          --material foam-board-5mm --power
    """
    if (folder is None) == (design is None):
        raise click.UsageError("Give DIR for a new library, or --design NAME for a new design.")
    if folder is not None:
        given = {
            "--span": span,
            "--layout": layout,
            "--material": material,
            "--power": powered,
            "--library": library,
        }
        idle = [name for name, value in given.items() if value is not None]
        if idle:
            raise click.UsageError(f"{idle[0]} goes with --design, not with DIR.")
        _start_library(folder, title)
    elif title is not None:
        raise click.UsageError("--title goes with DIR, not with --design.")
    elif design is not None:
        from plansgen.starter.answers import slug_of

        home, slug = library_of(library), slug_of(design)
        if (home / "designs" / slug).exists():
            raise BadInput([Problem(f"designs/{slug}", 0, "", "exists already", "another name")])
        _start_design(
            home,
            name=design,
            span=_span(span),
            layout=layout or _ask_layout(),
            material=material or _ask("--material", "Sheet material", "foam-board-5mm"),
            powered=_ask_power() if powered is None else powered,
            designer=designer,
        )


def _start_library(folder: Path, title: str | None) -> None:
    from plansgen.starter.answers import title_of
    from plansgen.starter.library import start_library

    for name in start_library(folder, site_name=title or title_of(folder.resolve().name)):
        click.echo(f"wrote {folder / name}")
    click.echo(f"Next: plansgen serve --library {folder}")


def _start_design(
    home: Path,
    *,
    name: str,
    span: float,
    layout: Layout,
    material: str,
    powered: bool,
    designer: str,
) -> None:
    from plansgen.starter.answers import slug_of, title_of
    from plansgen.starter.draft import Answers, draft_design
    from plansgen.starter.library import add_design

    answers = Answers(
        name=title_of(name),
        slug=slug_of(name),
        span=span,
        layout=layout,
        material=material,
        powered=powered,
        designer=designer,
        date=datetime.date.today(),
    )
    draft = draft_design(answers)
    path = add_design(home, answers.slug, draft)
    click.echo(f"wrote {path}")
    _tell_draft(draft)
    click.echo(f"Next: plansgen check {answers.slug}")


def _tell_draft(draft: Draft) -> None:
    """The few numbers that say whether this is the aeroplane one had in mind."""
    ready = draft.balance.ready
    if ready is None:
        return
    state, wing = ready.state, draft.airframe.reference
    side = "ahead" if state.from_root < 0 else "aft"
    click.echo(
        f"{wing.span:.2f} m span, {wing.area * 100:.1f} dm², {state.mass * 1000:.0f} g, "
        f"{state.wing_loading * 10:.0f} g/dm²; balances "
        f"{abs(state.from_root) * 1000:.0f} mm {side} of the wing's root leading edge."
    )
    ballast = sum(item.mass for item in draft.file.items if item.kind == "ballast")
    if ballast:
        click.echo(f"{ballast * 1000:.0f} g of that is ballast.")
    if state.cubic_loading > HEAVY_FOR_ITS_SIZE:
        click.echo("It is heavy for its size and will have to fly fast; try a lighter sheet.")
    if draft.model.strength.is_too_soft:
        click.echo("Its sheet may be too soft or uneven for its size: see what the check says.")


# --- asking ------------------------------------------------------------------------------------


def is_terminal() -> bool:
    """Whether somebody is there to be asked."""
    return sys.stdin.isatty()


def _need_terminal(option: str) -> None:
    if not is_terminal():
        raise click.UsageError(f"Missing {option}, and there is no terminal to ask on.")


def _ask(option: str, question: str, default: str) -> str:
    _need_terminal(option)
    return str(click.prompt(question, default=default))


def _span(given: str | None) -> float:
    from plansgen.starter.answers import read_span

    if given is not None:
        return read_span(given)
    _need_terminal("--span")

    def value(text: str) -> float:
        try:
            return read_span(text)
        except BadInput as bad:
            raise click.BadParameter(str(bad.problems[0])) from None

    return float(click.prompt("Span, with its unit", default="1.2 m", value_proc=value))


def _ask_layout() -> Layout:
    _need_terminal("--layout")
    kind = click.Choice(get_args(Layout))
    answer: Layout = click.prompt("Layout", type=kind, default="conventional")
    return answer


def _ask_power() -> bool:
    _need_terminal("--power or --glider")
    kind: click.Choice[str] = click.Choice(("power", "glider"))
    answer: str = click.prompt("Power or glider", type=kind, default="power")
    return answer == "power"
