"""Rules about what moves the model: linkages, servos, throws, mixing, flutter."""

from __future__ import annotations

from collections.abc import Iterator

from plansgen.controls.fitting import Fit, linkage_of
from plansgen.controls.hinge import WANTED
from plansgen.controls.linkage import LEAST_TRANSMISSION
from plansgen.controls.result import ControlsResult, ControlThrow
from plansgen.controls.throws import StartThrow
from plansgen.review.finding import Finding, Severity
from plansgen.review.words import ESTIMATE, PRACTICE, degrees, percent

_LITTLE = 0.5  # of the servo's travel: below it half of its torque and fineness is given away
_HAIR = 1e-3  # rad
_ROLLERS = ("aileron", "flaperon")
_ORDERS = {"pitch": "elevator", "roll": "aileron", "yaw": "rudder", "flap": "flap"}
_MECHANISMS = "transmission angle of four-bars: textbooks of mechanisms, from memory"


def _named(throw: ControlThrow) -> str:
    name = throw.title if throw.surface in throw.title else f"{throw.title} of the {throw.surface}"
    return f"{name[:1].upper()}{name[1:]}"


def linkages(controls: ControlsResult) -> Iterator[Finding]:
    """Dead centre, travel that the linkage cannot give, and poor angles."""
    for throw in controls.controls:
        fit = throw.fit
        if fit is None:
            continue
        if not fit.passes:
            yield _dead_centre(throw, fit)
        elif not fit.reaches:
            yield _too_short(throw, fit)
        elif fit.transmission is not None and fit.transmission < LEAST_TRANSMISSION:
            yield Finding(
                rule="linkage-angle",
                severity="note",
                title=f"{_named(throw)}: near its end the rod pulls more along the horn than "
                "across it",
                number=f"{degrees(fit.transmission, 0)} between rod and horn",
                limit=f"at least {degrees(LEAST_TRANSMISSION, 0)}",
                why="There little turns the surface and much bends the horn and its hinge.",
                do="Move the horn's hole nearer to the hinge line, or give less travel.",
                source=_MECHANISMS,
            )


def _dead_centre(throw: ControlThrow, fit: Fit) -> Finding:
    return Finding(
        rule="linkage-over-centre",
        severity="severe",
        title=f"{_named(throw)}: the linkage locks or flips over before full travel",
        number=f"arm {fit.arm * 1000:.1f} mm, horn {fit.horn * 1000:.1f} mm, travel "
        f"{degrees(throw.down)} down and {degrees(throw.up)} up",
        limit="that the rod never comes in line with arm or horn",
        why="Past dead centre the surface jams or goes the wrong way, and does not come back.",
        do=_longer_arm(throw, fit),
        source="a four-bar linkage, solved exactly",
    )


def _too_short(throw: ControlThrow, fit: Fit) -> Finding:
    reach = (
        f"{degrees(fit.at_most_down)} down and {degrees(fit.at_most_up)} up"
        if fit.at_most_down is not None and fit.at_most_up is not None
        else f"less than {degrees(max(throw.down, throw.up))}"
    )
    return Finding(
        rule="linkage-travel",
        severity="caution",
        title=f"{_named(throw)}: the linkage cannot give the travel",
        number=f"{reach} with the servo's {degrees(fit.servo_travel, 0)} each way",
        limit=f"{degrees(throw.down)} down and {degrees(throw.up)} up",
        why="What the numbers on the flight page count on is not there.",
        do=_longer_arm(throw, fit),
        source="a four-bar linkage, solved exactly",
    )


def arm_wanted(throw: ControlThrow, fit: Fit) -> float | None:
    """Shortest arm, with the same horn, that gives the travel in four fifths of the servo's. [m]

    None where no arm up to three times as long does.
    """
    for step in range(1, 121):
        arm = fit.arm * (0.6 + step / 50)
        linkage = linkage_of(arm=arm, horn=fit.horn, ahead=fit.ahead, rod=fit.rod)
        swings = (throw.down, -throw.up) if fit.above else (-throw.down, throw.up)
        if not all(linkage.passes(swing) for swing in swings):
            continue
        turns = [linkage.arm_for(swing) for swing in swings]
        if all(turn is not None and abs(turn) <= 0.8 * fit.servo_travel for turn in turns):
            return arm
    return None


def _longer_arm(throw: ControlThrow, fit: Fit) -> str:
    arm = arm_wanted(throw, fit)
    if arm is None:
        return (
            "Use a horn whose hole lies nearer to the hinge line and square above it, or ask for "
            "less travel."
        )
    return (
        f"A servo arm of {arm * 1000:.1f} mm gives it with a fifth of the servo's travel to "
        "spare; a shorter horn does the same. Then look at the servo's torque again."
    )


def fineness(controls: ControlsResult) -> Iterator[Finding]:
    """Little of the servo's travel used."""
    for throw in controls.controls:
        fit = throw.fit
        if fit is None or not fit.reaches or fit.used is None or fit.used >= _LITTLE:
            continue
        yield Finding(
            rule="servo-travel",
            severity="note",
            title=f"{_named(throw)}: it uses little of the servo's travel",
            number=f"{percent(fit.used)}",
            limit=f"at least {percent(_LITTLE)}",
            why="Turning the throw down at the transmitter gives torque and fineness away, and the "
            "gear's play shows more at the edge.",
            do="Take a hole further in on the servo arm, or further out on the horn, and turn the "
            "throw up again.",
            source=PRACTICE,
        )


def differential(controls: ControlsResult) -> Iterator[Finding]:
    """Ailerons that the linkage sends further down than up."""
    for throw in controls.controls:
        fit = throw.fit
        if throw.kind not in _ROLLERS or fit is None or throw.down > throw.up + _HAIR:
            continue
        down, up = fit.alike_down, fit.alike_up
        if down is None or up is None or down <= up + 5 * _HAIR:
            continue
        yield Finding(
            rule="reverse-differential",
            severity="note",
            title=f"{_named(throw)}: by itself the linkage sends it further down than up",
            number=f"{degrees(down)} down against {degrees(up)} up",
            limit="no more down than up",
            why="The wing that goes up then drags back: the nose swings out of the turn.",
            do="Move the horn's hole aft of the hinge line (horn on the underside), or set "
            "differential at the transmitter.",
            source=PRACTICE,
        )


def servos(controls: ControlsResult) -> Iterator[Finding]:
    """Servos against the air at top speed."""
    for throw in controls.controls:
        load = throw.load
        if load is None or load.margin is None or load.margin >= WANTED:
            continue
        severity: Severity = "severe" if load.margin < 1.0 else "caution"
        yield Finding(
            rule="servo-torque",
            severity=severity,
            title=f"{_named(throw)}: the servo is weak for it",
            number=f"{load.margin:.1f} times what {load.where} asks of it",
            limit=f"{WANTED:g} times: the torque on the label is where it stalls",
            why="At speed the air holds the surface, and the stick no longer does.",
            do=f"Take a servo of {load.needed * WANTED * 100:.1f} N cm "
            f"({load.needed * WANTED / 0.0980665:.1f} kg cm), a shorter arm on it, or fly "
            "it slower than that.",
            source=f"thin-airfoil hinge moments (Glauert 1927), 0.8 of them; margin: {PRACTICE}",
        )


def throws(controls: ControlsResult) -> Iterator[Finding]:
    """Less travel than the flight calculation asks for."""
    for throw in controls.controls:
        for start in throw.starts:
            if start.flight is None or start.given >= min(start.flight, start.high) - _HAIR:
                continue
            yield _short(throw, start)


def _short(throw: ControlThrow, start: StartThrow) -> Finding:
    mixed = " by itself, as mixed" if len(throw.starts) > 1 else ""
    return Finding(
        rule="throw-small",
        severity="note",
        title=f"{_named(throw)}: little throw for the {_ORDERS[start.motion]} stick",
        number=f"{degrees(start.given)} each way{mixed}",
        limit=f"{degrees(start.flight or 0.0)} for {start.basis}",
        why="On the first approach you pull or bank all the way and want more.",
        do=f"Set it up to {degrees(start.start)} each way, {start.edge * 1000:.0f} mm at the edge.",
        source="flight calculation just above the stall, beside common practice",
    )


def mixing(controls: ControlsResult) -> Iterator[Finding]:
    """Mixed controls that run into their stops."""
    for mix in controls.mixes:
        if mix.lost <= 0.0:
            continue
        worst = next(row for row in mix.rows if row.clipped)
        yield Finding(
            rule="mixing-clips",
            severity="note" if mix.lost <= 1 / 3 else "caution",
            title=f"{mix.title[:1].upper()}{mix.title[1:]}: both sticks at once run into the stop",
            number=f"{percent(mix.lost)} of the travel asked for is lost",
            limit="shares that add up to no more than the whole travel",
            why=f"{worst.sticks}: the edge has no travel left, so one order is obeyed in part.",
            do="Bring the two shares down until they add up to 100 %, or give more travel.",
            source="sum of the shares",
        )


def flutter(controls: ControlsResult) -> Iterator[Finding]:
    """What to look at before it flutters."""
    for caution in controls.flutter:
        yield Finding(
            rule=caution.key,
            severity=caution.grade,
            title=caution.title,
            number=caution.number,
            limit=caution.limit,
            why=caution.why,
            do=caution.do,
            source="Bisplinghoff, Ashley & Halfman, Aeroelasticity, from memory; limit: "
            f"{ESTIMATE}",
        )
