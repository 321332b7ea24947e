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
            "flown-without-log",
            "caution",
            "Said to be flown, but the log holds no flight",
            "0 flights",
            "1 flight in log.yaml",
            "A builder trusts a flown design more than a built one.",
            "Write the flight into log.yaml, or set the status to built.",
            PRACTICE,
        )


def layout_as_declared(design: Design, airframe: Airframe) -> Iterator[Finding]:
    """The layout the designer names against the one the surfaces make."""
    declared = design.file.layout
    if declared is not None and declared != airframe.layout:
        yield Finding(
            "layout",
            "caution",
            f"Declared {declared}, but the surfaces make a {airframe.layout} layout",
            airframe.layout,
            declared,
            "The balance rule, the tail volumes and the safety notes follow the surfaces.",
            "Correct layout, or the roles and places of the surfaces.",
            "the recognition described under methods",
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
            "mostly-worked-out",
            "note",
            "Most of the mass has not been weighed",
            f"{share * 100:.0f} % weighed",
            f"{WEIGHED_SHARE * 100:.0f} % (estimate)",
            "Sheet, glue and wood vary. The balance point on this page is a forecast.",
            "Weigh parts as you build, and balance the finished model before it flies.",
            PRACTICE,
        )


def no_steps(design: Design) -> Iterator[Finding]:
    """A plan without build steps."""
    if not design.steps:
        yield Finding(
            "no-steps",
            "note",
            "There are no build steps yet",
            "0 steps",
            "1 or more in steps/",
            "A stranger cannot build from drawings alone.",
            "Write the steps as you build.",
            PRACTICE,
        )
