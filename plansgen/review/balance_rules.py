"""Rules about the balance."""

from __future__ import annotations

from collections.abc import Iterator

from plansgen.airframe.build import Airframe
from plansgen.balance.advice import Remedy
from plansgen.balance.result import BalanceResult, Loading
from plansgen.balance.target import RULE_AFT, RULE_FORWARD, Target
from plansgen.review.finding import Finding

PRACTICE = "common practice, no source"
MOMENTS = "moments about the target; elementary statics"
LATERAL_SHARE = 0.005  # of the span; estimate, see lateral()


def _mm(metres: float) -> str:
    return f"{metres * 1000:.0f} mm"


def _g(kilograms: float) -> str:
    return f"{kilograms * 1000:.0f} g"


def no_masses(balance: BalanceResult) -> Iterator[Finding]:
    """Nothing in the file weighs anything."""
    if not balance.loadings:
        yield Finding(
            rule="no-masses",
            severity="severe",
            title="No masses are given",
            number="0 g",
            limit="parts, items or batteries with masses",
            why="Without masses nobody can tell where the model balances.",
            do="Give parts their materials, and list what is bought with its mass and place.",
            source=PRACTICE,
        )


def no_target(airframe: Airframe, balance: BalanceResult) -> Iterator[Finding]:
    """A layout without a rule of thumb, and a designer who gives no target."""
    if balance.target is None:
        yield Finding(
            rule="no-target",
            severity="severe",
            title=f"No balance target for a {airframe.layout} layout",
            number="none given",
            limit="balance.target in the design file",
            why="The quarter-to-third rule is for a wing with a tail behind it. On this layout it "
            "would put the balance point in a wrong and possibly dangerous place.",
            do="Find the balance point by calculation and careful glide tests, and give it as "
            "balance.target with the reason.",
            source=PRACTICE,
        )


def limits(balance: BalanceResult) -> Iterator[Finding]:
    """The balance point against the limits, for each battery."""
    target = balance.target
    if target is None:
        return
    for number, loading in enumerate(balance.loadings):
        remedy = loading.remedy
        if remedy is not None and not remedy.within_limits:
            yield _outside(loading, remedy, target, usual=number == 0)


def _outside(loading: Loading, remedy: Remedy, target: Target, *, usual: bool) -> Finding:
    tail_heavy = remedy.offset > 0
    what = "Tail-heavy" if tail_heavy else "Nose-heavy"
    mends_by_sliding = remedy.slide is not None and remedy.reached
    feel = (
        "It answers too sharply in pitch, and may pitch up and stall without warning."
        if tail_heavy
        else "It dives when the power comes off, and may not be flared before it touches."
    )
    return Finding(
        rule="balance-limits",
        severity="caution" if mends_by_sliding or not usual else "severe",
        title=f"{what} with {loading.aboard}" if loading.aboard else f"{what} as it stands",
        number=f"{loading.state.mac_share * 100:.1f} % of the mean aerodynamic chord",
        limit=f"{target.forward_share * 100:.1f} to {target.aft_share * 100:.1f} %",
        why=feel,
        do=what_to_move(remedy),
        source=PRACTICE if target.limits != "own" else "the designer's limits",
    )


def what_to_move(remedy: Remedy) -> str:
    """The remedy as one sentence."""
    steps = []
    if remedy.slide is not None and remedy.battery_x is not None:
        way = "aft" if remedy.slide > 0 else "forward"
        if remedy.reached:
            return (
                f"Slide the battery {_mm(abs(remedy.slide))} {way}, "
                f"its middle to x = {_mm(remedy.battery_x)}."
            )
        steps.append(f"Slide the battery {way} to the end of its bay, {_mm(remedy.battery_x)}")
    if remedy.ballast is None:
        steps.append("move equipment: no ballast place lies on the right side")
    else:
        ballast = remedy.ballast
        steps.append(
            f"fix {_g(ballast.mass)} at the {ballast.place} (x = {_mm(ballast.at_x)}), "
            f"which makes it {_g(ballast.total)}"
        )
    text = ", and ".join(steps)
    return text[0].upper() + text[1:].rstrip(".") + "."


def target_within_limits(balance: BalanceResult) -> Iterator[Finding]:
    """The designer's target outside the designer's own limits."""
    target = balance.target
    if target is None or target.forward_share <= target.share <= target.aft_share:
        return
    yield Finding(
        rule="target-limits",
        severity="severe",
        title="The target lies outside its own limits",
        number=f"{target.share * 100:.1f} % of the mean aerodynamic chord",
        limit=f"{target.forward_share * 100:.1f} to {target.aft_share * 100:.1f} %",
        why="Whoever follows the limits balances it elsewhere than whoever follows the target.",
        do="Correct balance.target, balance.forward or balance.aft.",
        source="the designer's limits",
    )


def bay_reach(balance: BalanceResult) -> Iterator[Finding]:
    """A battery whose bay does not reach the target, although the limits hold."""
    for loading in balance.loadings:
        remedy = loading.remedy
        if remedy is None or remedy.reached or not remedy.within_limits or remedy.slide is None:
            continue
        yield Finding(
            rule="bay-reach",
            severity="note",
            title=f"The bay does not reach the target with {loading.aboard}",
            number=f"{_mm(abs(remedy.offset))} off the target",
            limit="0 mm",
            why="It is within the limits, but the target itself needs more than the bay gives.",
            do=what_to_move(remedy),
            source=MOMENTS,
        )


def target_against_rule(balance: BalanceResult) -> Iterator[Finding]:
    """The designer's target outside the rule of thumb, on a layout the rule is for."""
    target = balance.target
    if target is None or target.origin != "own" or not balance.rule_applies:
        return
    if RULE_FORWARD - 1e-9 <= target.share <= RULE_AFT + 1e-9:
        return
    yield Finding(
        rule="target-rule",
        severity="note",
        title="The target lies outside the quarter-to-third rule",
        number=f"{target.share * 100:.1f} % of the mean aerodynamic chord",
        limit="25 to 33 %",
        why="The rule is only a start, but a target outside it wants a reason.",
        do="Say in balance.why how it was found, or begin within the rule.",
        source=PRACTICE,
    )


def lateral(airframe: Airframe, balance: BalanceResult) -> Iterator[Finding]:
    """One wing heavy by more than half a per cent of the span (estimate)."""
    side = balance.lateral
    if side is None or abs(side.y) <= LATERAL_SHARE * airframe.reference.span:
        return
    heavy, light = ("starboard", "port") if side.y > 0 else ("port", "starboard")
    yield Finding(
        rule="lateral-balance",
        severity="caution",
        title=f"The {heavy} wing is heavy",
        number=f"balance point {_mm(abs(side.y))} to {heavy}",
        limit=f"within {_mm(LATERAL_SHARE * airframe.reference.span)} "
        "(0.5 % of the span, estimate)",
        why="It will hang that wing, most of all when slow and when the elevator is pulled.",
        do=f"Move equipment to {light}, or fix {_g(side.ballast)} at the {light} tip.",
        source="estimate",
    )
