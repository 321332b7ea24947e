"""The number line of the mean chord: where it may balance, by rule and by calculation."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plansgen.balance.result import Loading
from plansgen.balance.target import RULE_AFT, RULE_FORWARD
from plansgen.dossier import Dossier
from plansgen.figures import style, symbols
from plansgen.figures.axis import round_step
from plansgen.figures.blocks import draw_legend, legend_height
from plansgen.figures.canvas import Canvas
from plansgen.figures.leaders import label_points
from plansgen.figures.lettering import fit, width_mm
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Free, Rect
from plansgen.figures.view import View

WIDTH_MM = 190.0
_MARGIN_MM = 12.0
_BALLOONS_MM = 26.0  # above the line
_RULER_MM = 15.0  # below it, its figures included
_BAR_MM = 13.0  # a band below the ruler, with its words
_BAR_HEIGHT_MM = 5.0
_HALF_MM = 2.5  # of the band on the line
# Of the chord: places further from the balance point are pointed at, not drawn to scale.
_REACH, _LIMIT_REACH = 1.0, 0.5
_SPARE = 0.03
_TICKS = 10


@dataclass(frozen=True)
class Mark:
    """A place on the mean aerodynamic chord, and its words.

    reach: how far from the balance point it is still drawn in its place.
    """

    share: float
    words: str
    reach: float = _REACH

    @property
    def lettered(self) -> str:
        """The value first: a long name may be cut."""
        return f"{percent(self.share)} {self.words}"


@dataclass(frozen=True)
class Bar:
    """A band below the line. low: None where nothing limits it. look: how it is filled."""

    words: str
    low: float | None
    high: float
    look: str


def percent(share: float) -> str:
    """A share of the chord as lettered."""
    return f"{round(share * 100, 1) + 0.0:.1f} %"


def _balances(loading: Loading) -> str:
    """A variant flies with the usual battery, which needs no second telling."""
    if loading.variant:
        return f"balances {loading.variant}"
    return f"balances with {loading.battery or 'all aboard'}"


def marks_of(dossier: Dossier) -> list[Mark]:
    """Every place worth a mark, from the front."""
    flight, target = dossier.flight, dossier.balance.target
    marks = [
        Mark(loading.state.mac_share, _balances(loading)) for loading in dossier.balance.loadings
    ]
    if target is not None:
        marks.append(Mark(target.share, "target"))
    if flight is not None:
        if flight.forward_share is not None:
            marks.append(Mark(flight.forward_share, "forward limit, power off", _LIMIT_REACH))
        if flight.forward_on is not None:
            share = flight.forward_on.mac_share
            marks.append(Mark(share, "forward limit, full throttle", _LIMIT_REACH))
        margin = flight.limits.least_margin * 100
        marks.append(Mark(flight.aft_share, f"aft limit, {margin:.0f} % of static margin kept"))
        marks.append(Mark(flight.neutral_share, "neutral point"))
    return sorted(marks, key=lambda mark: (mark.share, mark.words))


def bars_of(dossier: Dossier) -> list[Bar]:
    """The bands to compare: worked out, by rule of thumb, the designer's own."""
    flight, target = dossier.flight, dossier.balance.target
    bars = []
    if flight is not None:
        bars.append(_worked_out(flight.forward_share, flight.aft_share))
    if dossier.balance.rule_applies:
        bars.append(Bar("rule of thumb, 25 to 33 %", RULE_FORWARD, RULE_AFT, "part_2"))
    if target is not None and target.limits != "rule":
        whose = "the designer's" if target.limits == "own" else "assumed around the target"
        low, high = target.forward_share, target.aft_share
        words = f"{whose}, {low * 100:.1f} to {percent(high)}"
        bars.append(Bar(words, low, high, "open"))
    return bars


def _worked_out(forward: float | None, aft: float) -> Bar:
    if forward is None:
        return Bar(f"worked out: up to {percent(aft)}; nothing limits it ahead", None, aft, "band")
    if forward >= aft:
        words = f"worked out: no room, the limits cross at {percent(forward)} and {percent(aft)}"
        return Bar(words, aft, aft, "band")
    words = f"worked out, power off, {forward * 100:.1f} to {percent(aft)}"
    return Bar(words, forward, aft, "band")


def window(dossier: Dossier, marks: Sequence[Mark]) -> tuple[float, float]:
    """The part of the chord's line that is drawn: about the balance point, not to the last limit.

    The leading edge and half the chord are in it unless the model balances far from them.
    """
    ready = dossier.balance.ready
    middle = ready.state.mac_share if ready is not None else 0.25
    places = [(mark.share, mark.reach) for mark in marks]
    places += [(0.0, _LIMIT_REACH), (0.5, _LIMIT_REACH)]
    near = [share for share, reach in places if abs(share - middle) <= reach]
    return min([middle, *near]) - _SPARE, max([middle, *near]) + _SPARE


def draw_balance_line(dossier: Dossier) -> Drawing:
    """Draw the number line of a design."""
    marks, bars = marks_of(dossier), bars_of(dossier)
    low, high = window(dossier, marks)
    columns = _columns(marks)
    line = 3.0 + _BAR_MM * len(bars) + _RULER_MM
    top = line + _BALLOONS_MM
    height = top + legend_height(len(marks), columns) + 2.0
    canvas = Canvas(width_mm=WIDTH_MM, height_mm=height)
    view = View(
        canvas,
        Free(per_metre=(WIDTH_MM - 2 * _MARGIN_MM) / (high - low)),
        origin_mm=(_MARGIN_MM, line),
        datum_m=(low, 0.0),
    )
    _draw_line(view, bars, low, high)
    for number, bar in enumerate(bars):
        _draw_bar(view, bar, line - _RULER_MM - _BAR_MM * number, low, high)
    row = Rect(2.0, line, WIDTH_MM - 2.0, top)
    words = label_points(view, _points(view, marks, low, high), "above", start_mm=9.0, within=row)
    draw_legend(canvas, words, Rect(2.0, top, WIDTH_MM - 2.0, height - 2.0), columns=columns)
    ready = dossier.balance.ready
    if ready is not None:
        symbols.balance_point(view, ready.state.mac_share, 0.0)
    return finish(
        canvas.figure(),
        name="balance-line",
        alt=_alt(dossier, marks, bars),
        caption="Where it may balance: the mean aerodynamic chord as a number line, in per cent "
        "from its leading edge.",
    )


def _columns(marks: Sequence[Mark]) -> int:
    """Two columns of words where none of them has to be cut."""
    widest = max((width_mm(mark.lettered) for mark in marks), default=0.0)
    return 2 if widest <= (WIDTH_MM - 4.0) / 2 - 11.0 else 1


def _draw_line(view: View, bars: Sequence[Bar], low: float, high: float) -> None:
    """The line with the worked-out band on it, and round places below it."""
    canvas, line = view.canvas, view.y(0.0)
    for bar in bars[:1]:
        if bar.look == "band" and bar.low != bar.high:
            left, right = _ends(view, bar, low, high)
            if right > left:
                _box(canvas, Rect(left, line - _HALF_MM, right, line + _HALF_MM), "band")
    view.edge([(low, 0.0), (high, 0.0)])
    step = round_step(high - low, _TICKS)
    for number in range(int(low // step), int(high // step) + 2):
        share = number * step
        if low <= share <= high:
            x = view.x(share)
            canvas.line([(x, line), (x, line - 2.5)], style.NARROW)
            words = f"{share * 100 + 0.0:.0f} %"
            canvas.text(x, line - 7.0, words, align="center", level="top", role="thin")


def _ends(view: View, bar: Bar, low: float, high: float) -> tuple[float, float]:
    """Left and right end of a band on the sheet, held within the line."""
    start = low if bar.low is None else bar.low
    return view.x(min(max(start, low), high)), view.x(min(max(bar.high, low), high))


def _draw_bar(view: View, bar: Bar, top: float, low: float, high: float) -> None:
    """Words, and below them the band; an arrow where it goes on beyond the line."""
    canvas = view.canvas
    left, right = _ends(view, bar, low, high)
    words = fit(bar.words, WIDTH_MM - 2 * _MARGIN_MM)
    start = min(max(left, 4.0), WIDTH_MM - 4.0 - width_mm(words))
    canvas.text(start, top, words, level="top")
    middle = top - style.TEXT_MM - 1.7 - _BAR_HEIGHT_MM / 2
    if right - left > 0.1:
        half = _BAR_HEIGHT_MM / 2
        _box(canvas, Rect(left, middle - half, right, middle + half), bar.look)
    if bar.low is None or bar.low < low:
        symbols.arrow(canvas, (left, middle), (left - 8.0, middle))
    if bar.high > high:
        symbols.arrow(canvas, (right, middle), (right + 8.0, middle))


def _box(canvas: Canvas, box: Rect, look: str) -> None:
    """Hatched in green as a target band, tinted, or open with a dashed outline."""
    corners = [
        (box.left, box.bottom),
        (box.right, box.bottom),
        (box.right, box.top),
        (box.left, box.top),
    ]
    if look == "band":
        canvas.fill(corners, "band")
        for segment in symbols.hatching(box, spacing_mm=2.0):
            canvas.line(segment, style.BAND_LINE)
        canvas.line(corners, style.BAND_LINE, closed=True)
    elif look == "part_2":
        canvas.fill(corners, "part_2")
        canvas.line(corners, style.NARROW, closed=True)
    else:
        canvas.line(corners, style.HIDDEN, closed=True)


def _points(
    view: View, marks: Sequence[Mark], low: float, high: float
) -> list[tuple[float, float, str]]:
    """Where each label points; what lies beyond the line is pointed at by an arrow at its end."""
    line = view.y(0.0)
    if any(mark.share < low for mark in marks):
        symbols.arrow(view.canvas, (view.x(low), line), (view.x(low) - 9.0, line), role="ink")
    if any(mark.share > high for mark in marks):
        symbols.arrow(view.canvas, (view.x(high), line), (view.x(high) + 9.0, line), role="ink")
    return [(min(max(mark.share, low), high), 0.0, _said(mark, low, high)) for mark in marks]


def _said(mark: Mark, low: float, high: float) -> str:
    if low <= mark.share <= high:
        return mark.lettered
    return f"{mark.lettered} ({'ahead of' if mark.share < low else 'behind'} this line)"


def _alt(dossier: Dossier, marks: Sequence[Mark], bars: Sequence[Bar]) -> str:
    named = "; ".join(f"{mark.words} {percent(mark.share)}" for mark in marks)
    bands = "; ".join(bar.words for bar in bars)
    return (
        f"Places on the mean aerodynamic chord of {dossier.name}, from its leading edge: {named}. "
        f"Bands to keep it in: {bands}."
    )
