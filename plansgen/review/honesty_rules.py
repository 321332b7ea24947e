"""Rules about what the designer claims and what is known."""

from __future__ import annotations

from collections.abc import Iterator

from plansgen.airframe.build import Airframe
from plansgen.balance.result import BalanceResult
from plansgen.library.design import Design
from plansgen.review.finding import Finding

PRACTICE = "common practice, no source"
WEIGHED_SHARE = 0.5  # estimate: below this a worked-out balance is a forecast


def flown_needs_log(design: Design) -> Iterator[Finding]:
    """A design is flown when its log says so."""
    if design.file.status == "flown" and not design.log:
        yield Finding(
            rule="flown-without-log",
            severity="caution",
            title="Said to be flown, but the log holds no flight",
            number="0 flights",
            limit="1 flight in log.yaml",
            why="A builder trusts a flown design more than a built one.",
            do="Write the flight into log.yaml, or set the status to built.",
            source=PRACTICE,
        )


def layout_as_declared(design: Design, airframe: Airframe) -> Iterator[Finding]:
    """The layout the designer names against the one the surfaces make."""
    declared = design.file.layout
    if declared is not None and declared != airframe.layout:
        yield Finding(
            rule="layout",
            severity="caution",
            title=f"Declared {declared}, but the surfaces make a {airframe.layout} layout",
            number=airframe.layout,
            limit=declared,
            why="The balance rule, the tail volumes and the safety notes follow the surfaces.",
            do="Correct layout, or the roles and places of the surfaces.",
            source="the recognition described under methods",
        )


def mostly_guessed(balance: BalanceResult) -> Iterator[Finding]:
    """How much of the flying mass has been on a scale."""
    ready = balance.ready
    if ready is None:
        return
    weighed = sum(line.mass for line in balance.lines if line.origin == "measured")
    if ready.battery_measured:
        weighed += ready.battery_mass or 0.0
    share = weighed / ready.state.mass
    if share < WEIGHED_SHARE:
        yield Finding(
            rule="mostly-worked-out",
            severity="note",
            title="Most of the mass has not been weighed",
            number=f"{share * 100:.0f} % weighed",
            limit=f"{WEIGHED_SHARE * 100:.0f} % (estimate)",
            why="Sheet, glue and wood vary. The balance point on this page is a forecast.",
            do="Weigh parts as you build, and balance the finished model before it flies.",
            source=PRACTICE,
        )


def no_steps(design: Design) -> Iterator[Finding]:
    """A plan without build steps."""
    if not design.steps:
        yield Finding(
            rule="no-steps",
            severity="note",
            title="There are no build steps yet",
            number="0 steps",
            limit="1 or more in steps/",
            why="A stranger cannot build from drawings alone.",
            do="Write the steps as you build.",
            source=PRACTICE,
        )
