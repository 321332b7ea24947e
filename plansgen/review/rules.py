"""The list of rules, and the one function that runs them."""

from __future__ import annotations

from plansgen.airframe.build import Airframe
from plansgen.balance.result import BalanceResult
from plansgen.library.design import Design
from plansgen.review import balance_rules, honesty_rules
from plansgen.review.finding import SEVERITIES, Finding


def review(design: Design, airframe: Airframe, balance: BalanceResult) -> tuple[Finding, ...]:
    """Run every rule; findings come back gravest first, in rule order within a severity.

    A rule is a function that yields findings. To add one, write it in a module of its subject and
    name it here with what it reads.
    """
    found = [
        *balance_rules.no_masses(balance),
        *balance_rules.no_target(airframe, balance),
        *balance_rules.target_within_limits(balance),
        *balance_rules.limits(balance),
        *balance_rules.bay_reach(balance),
        *balance_rules.target_against_rule(balance),
        *balance_rules.lateral(airframe, balance),
        *honesty_rules.flown_needs_log(design),
        *honesty_rules.layout_as_declared(design, airframe),
        *honesty_rules.mostly_guessed(balance),
        *honesty_rules.no_steps(design),
    ]
    return tuple(sorted(found, key=lambda finding: SEVERITIES.index(finding.severity)))
