"""Rules about stability and where it may balance, by calculation."""

from __future__ import annotations

from collections.abc import Iterator

from plansgen.airframe.build import Airframe
from plansgen.balance.result import BalanceResult, Loading
from plansgen.balance.target import RULE_AFT, RULE_FORWARD
from plansgen.flight.control_power import NOSE_HEAVY
from plansgen.flight.limits import Limits
from plansgen.flight.result import FlightResult
from plansgen.review.finding import Finding
from plansgen.review.words import PRACTICE, mm, move_to, on_chord, percent

NELSON = "R. C. Nelson, Flight Stability and Automatic Control, static margin"
FORWARD = "C. D. Perkins & R. E. Hage, Airplane Performance, Stability and Control, most forward "
COMFORT = 0.15  # static margin of a docile model (common practice, no source)
_ROUNDING = 1e-9


def refused(balance: BalanceResult, refusal: str) -> Iterator[Finding]:
    """The flight calculation could not be done. A model without masses is told so elsewhere."""
    if refusal and balance.loadings:
        yield Finding(
            rule="flight-refused",
            severity="severe",
            title="How it flies could not be worked out",
            number=refusal,
            limit="surfaces that can lift, damp and steer",
            why="Neutral point, stall speed and trim are unknown, so nobody can say that it flies.",
            do="Mend what is named here in the design file. Until then treat it as a drawing.",
            source="the method's own limits",
        )


def static_margin(
    airframe: Airframe, balance: BalanceResult, flight: FlightResult
) -> Iterator[Finding]:
    """Static margin at each loading, against the least one asked for and what is usual."""
    for loading, margin in zip(balance.loadings, flight.margins, strict=True):
        if margin.static_margin < flight.limits.least_margin - _ROUNDING:
            yield _too_small(airframe, balance, flight, loading, margin.static_margin)
    usual = flight.margins[0].static_margin
    if usual > NOSE_HEAVY:
        yield _too_large(airframe, balance, flight, usual)


def _with(loading: Loading) -> str:
    return f" with {loading.aboard}" if loading.aboard else ""


def _too_small(
    airframe: Airframe,
    balance: BalanceResult,
    flight: FlightResult,
    loading: Loading,
    margin: float,
) -> Finding:
    limits = flight.limits
    unstable = margin < 0.0
    aft = loading.state.x - limits.aft_x
    return Finding(
        rule="static-margin",
        severity="severe",
        title=f"{'Unstable' if unstable else 'Too little stability'} in pitch{_with(loading)}",
        number=f"static margin {percent(margin, 1)}, balance point {mm(aft)} behind the aft limit",
        limit=f"at least {percent(limits.least_margin, 1)}",
        why="The nose runs away from wherever it is put; it pitches up or tucks under by itself."
        if unstable
        else "It answers far too sharply in pitch, and a gust or a slip of the thumb may stall it.",
        do=move_to(limits.aft_x, loading=loading, balance=balance, reference=airframe.reference)
        + " That reaches only the aft limit; begin further forward.",
        source=f"{NELSON}; the least margin is the design's own figure or common practice",
    )


def _too_large(
    airframe: Airframe, balance: BalanceResult, flight: FlightResult, margin: float
) -> Finding:
    reference = airframe.reference
    loading, neutral = balance.loadings[0], flight.limits.neutral_point
    x = neutral - COMFORT * reference.mac
    if balance.target is not None:  # never beyond what the balance page allows
        x = max(min(x, balance.target.aft_x), loading.state.x)
    move = move_to(x, loading=loading, balance=balance, reference=reference)
    then = (neutral - x) / reference.mac
    return Finding(
        rule="static-margin-large",
        severity="note",
        title="Very stable in pitch: it flies nose-heavy",
        number=f"static margin {percent(margin, 1)}",
        limit=f"at most {percent(NOSE_HEAVY)}",
        why="It flies safely, but wants much elevator trim for each speed, balloons when the power "
        "goes on and gives away some glide.",
        do="It already balances as far back as its limits allow; trim it, and leave it."
        if x - loading.state.x < _ROUNDING
        else f"For {percent(then)}: {move[0].lower()}{move[1:].rstrip('.')}, in small steps and "
        "after it has flown.",
        source=PRACTICE,
    )


def balance_band(
    airframe: Airframe, balance: BalanceResult, flight: FlightResult
) -> Iterator[Finding]:
    """The balance point ahead of the worked-out forward limit, and a band without room.

    Behind the aft limit the static margin speaks.
    """
    limits = flight.limits
    if limits.forward is None or limits.room is None:
        return
    if limits.room < 0.0:
        yield _no_room(limits, airframe.reference.mac)
    for loading in balance.loadings:
        if loading.state.x < limits.forward.x - _ROUNDING:
            yield _too_far_forward(airframe, balance, flight, loading)


def _no_room(limits: Limits, chord: float) -> Finding:
    assert limits.forward is not None
    assert limits.room is not None
    return Finding(
        rule="balance-room",
        severity="severe",
        title="No balance point is both stable and slow enough to land",
        number=f"the forward limit lies {-1000 * limits.room:.1f} mm behind the aft limit",
        limit="a forward limit ahead of the aft limit",
        why="Where it is stable, full up-elevator does not reach the stall; where it does, it is "
        "not stable.",
        do=f"Enlarge the tail or lengthen its arm until the two limits part by at least "
        f"{mm(0.05 * chord)} (5 % of the chord, estimate), or give the elevator more travel.",
        source=f"{FORWARD}centre of gravity; {NELSON}",
    )


def _too_far_forward(
    airframe: Airframe, balance: BalanceResult, flight: FlightResult, loading: Loading
) -> Finding:
    forward = flight.limits.forward
    assert forward is not None
    with_power = flight.forward_on is not None and flight.forward_on.x <= loading.state.x
    return Finding(
        rule="balance-forward",
        severity="caution",
        title=f"Full up-elevator does not reach the stall{_with(loading)}",
        number=f"balance point at {on_chord(loading.state.mac_share)}",
        limit=f"{percent(forward.mac_share, 1)} or further back, power off",
        why="It cannot be flown as slowly as the wing would, and may not flare. "
        + (
            "With full throttle the propeller's wash mends it."
            if with_power
            else "Throttle does not mend it."
        ),
        do=move_to(forward.x, loading=loading, balance=balance, reference=airframe.reference),
        source=f"{FORWARD}centre of gravity",
    )


def target_in_band(
    airframe: Airframe, balance: BalanceResult, flight: FlightResult
) -> Iterator[Finding]:
    """The place the page tells the builder to balance at, against the worked-out band."""
    target, limits = balance.target, flight.limits
    if target is None or (limits.room is not None and limits.room < 0.0):
        return
    behind = target.x > limits.aft_x + _ROUNDING
    ahead = limits.forward is not None and target.x < limits.forward.x - _ROUNDING
    if not behind and not ahead:
        return
    end = limits.aft_share if behind or limits.forward is None else limits.forward.mac_share
    root = airframe.reference.x_of_share(end) - airframe.reference.root_x
    yield Finding(
        rule="target-band",
        severity="severe" if behind else "caution",
        title=f"The balance target lies {'behind' if behind else 'ahead of'} the worked-out band",
        number=on_chord(target.share),
        limit=band_words(limits),
        why="Who balances it as told flies it too close to the neutral point, or behind it."
        if behind
        else "Who balances it as told runs out of up-elevator before the stall.",
        do=f"Set the target {'ahead of' if behind else 'behind'} {percent(end, 1)}, which is "
        f"{mm(root)} behind the wing's root leading edge; or keep it with a reason and careful "
        "glide tests.",
        source=NELSON if behind else f"{FORWARD}centre of gravity",
    )


def band_words(limits: Limits) -> str:
    """The worked-out band on the mean aerodynamic chord."""
    if limits.forward is None:
        return f"not behind {percent(limits.aft_share, 1)}"
    return f"{percent(limits.forward.mac_share, 1)} to {percent(limits.aft_share, 1)}"


def rule_against_band(limits: Limits) -> tuple[str, ...]:
    """Sentences on where the quarter-to-third rule and the worked-out band disagree; else none."""
    found = []
    if limits.aft_share < RULE_AFT - _ROUNDING:
        found.append(
            f"The rule of thumb would allow it back to {percent(RULE_AFT)}, the calculation only "
            f"to {percent(limits.aft_share, 1)}: this design has less tail than the rule counts on."
        )
    if limits.forward is not None and limits.forward.mac_share > RULE_FORWARD + _ROUNDING:
        found.append(
            f"The rule of thumb starts at {percent(RULE_FORWARD)}, but ahead of "
            f"{percent(limits.forward.mac_share, 1)} full up-elevator does not reach the stall."
        )
    return tuple(found)


def rule_of_thumb(balance: BalanceResult, flight: FlightResult) -> Iterator[Finding]:
    """The rule of thumb against the worked-out band, on a layout the rule is for."""
    sentences = rule_against_band(flight.limits) if balance.rule_applies else ()
    room = flight.limits.room
    if sentences and (room is None or room >= 0.0):
        shorter = flight.limits.aft_share < RULE_AFT
        yield Finding(
            rule="rule-of-thumb",
            severity="caution" if shorter else "note",
            title="The rule of thumb and the calculation disagree",
            number=f"worked-out band {band_words(flight.limits)}",
            limit=f"rule of thumb {percent(RULE_FORWARD)} to {percent(RULE_AFT)}",
            why=" ".join(sentences),
            do="Stay where both agree, and begin at the forward end of that."
            if flight.limits.aft_share > RULE_FORWARD
            else "Follow the calculation, and begin at its forward end.",
            source=f"{PRACTICE}, against {NELSON}",
        )
