"""Where it must balance: the designer's own place, or the trade's starting rule."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Literal

from plansgen.airframe.layout import Reference
from plansgen.library.models import Balance, BalanceMark, Layout
from plansgen.quantity import Quantity

RULE_START = 0.25  # common practice, no source: begin near a quarter of the chord,
RULE_LATER = 0.30  # then back towards this
RULE_FORWARD, RULE_AFT = 0.25, 1 / 3  # the band builders keep to
OWN_HALF_BAND = 0.025  # estimate, when a designer gives a target without limits

RULE_LAYOUTS: frozenset[Layout] = frozenset({"conventional", "biplane"})


@dataclass(frozen=True)
class Target:
    """Where it must balance, and between which limits, from the datum.

    origin: ``own`` (the designer's), ``rule`` (the trade's starting rule). limits: whether the
    limits are the designer's, the rule's, or assumed around the designer's target.
    """

    origin: Literal["own", "rule"]
    limits: Literal["own", "rule", "assumed"]
    x: Annotated[float, Quantity("m", "Target balance point from the datum", "balance-target-own")]
    share: Annotated[
        float, Quantity("1", "Target on the mean aerodynamic chord", "balance-target-own", "%")
    ]
    from_root: Annotated[
        float, Quantity("m", "Target aft of the wing's root leading edge", "balance-target-own")
    ]
    forward_x: Annotated[float, Quantity("m", "Forward limit", "balance-target-own")]
    forward_share: Annotated[
        float,
        Quantity("1", "Forward limit on the mean aerodynamic chord", "balance-target-own", "%"),
    ]
    aft_x: Annotated[float, Quantity("m", "Aft limit", "balance-target-own")]
    aft_share: Annotated[
        float, Quantity("1", "Aft limit on the mean aerodynamic chord", "balance-target-own", "%")
    ]


def rule_applies(layout: Layout) -> bool:
    """Whether the quarter-to-third rule was ever meant for this layout."""
    return layout in RULE_LAYOUTS


def share_of_mark(mark: BalanceMark, reference: Reference) -> float:
    """A designer's mark as a share of the mean aerodynamic chord."""
    if mark.mac is not None:
        return mark.mac
    return reference.share_of_mac(reference.root_x + (mark.root or 0.0))


def _target(
    reference: Reference,
    origin: Literal["own", "rule"],
    limits: Literal["own", "rule", "assumed"],
    shares: tuple[float, float, float],
) -> Target:
    forward, share, aft = shares
    x = reference.x_of_share(share)
    return Target(
        origin=origin,
        limits=limits,
        x=x,
        share=share,
        from_root=x - reference.root_x,
        forward_x=reference.x_of_share(forward),
        forward_share=forward,
        aft_x=reference.x_of_share(aft),
        aft_share=aft,
    )


def target_of(balance: Balance, layout: Layout, reference: Reference) -> Target | None:
    """The target of a design, or None: a layout without a rule and no target of its own."""
    if balance.target is None:
        if not rule_applies(layout):
            return None
        return _target(reference, "rule", "rule", (RULE_FORWARD, RULE_START, RULE_AFT))
    share = share_of_mark(balance.target, reference)
    forward = share - OWN_HALF_BAND
    aft = share + OWN_HALF_BAND
    if balance.forward is not None:
        forward = share_of_mark(balance.forward, reference)
    if balance.aft is not None:
        aft = share_of_mark(balance.aft, reference)
    given = balance.forward is not None and balance.aft is not None
    return _target(reference, "own", "own" if given else "assumed", (forward, share, aft))
