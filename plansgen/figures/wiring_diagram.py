"""The wiring diagram: battery at the top, motors below it, then receiver and servos.

Leads never run through a box, and are told apart by line type and by letters, not by colour.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from plansgen.drive.wiring_graph import SPLIT, Block, Conductor, Wiring
from plansgen.figures.canvas import Canvas
from plansgen.figures.chart_key import draw_notes, notes_height
from plansgen.figures.save import Drawing, finish
from plansgen.figures.scales import Rect
from plansgen.figures.wiring_boxes import (
    APART_MM,
    LEAD_MM,
    MINUS,
    PLUS,
    SIGNAL,
    Words,
    draw_box,
    draw_dot,
    draw_label,
    draw_pair,
    draw_signs,
    draw_three,
)
from plansgen.figures.wiring_words import amperes, key_rows, lead_lines, short, wiring_sentences

WIDTH_MM = 190.0
MOST_DRIVES, MOST_SERVOS = 4, 16
_LEFT_MM, _RIGHT_MM = 5.0, 185.0
_WIDEST_MM = 86.0
_CHANNEL_MM = 7.0  # right of each column, for the lead to the receiver
_GAP_MM, _LOW_GAP_MM, _BUS_MM = 15.0, 10.0, 14.0
_SERVO_COLUMNS = 4


def _number(block: Block) -> int:
    """Which of its kind a block is, from 1; a controller has its motor's number."""
    return int(block.key.rsplit("-", 1)[1])


class _Diagram:
    """The boxes in their rows, from the top downwards; heights first, so the canvas fits."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring
        motors = wiring.of_kind("motor")[:MOST_DRIVES]
        self.motors = motors
        numbers = {_number(motor) for motor in motors}
        controllers = wiring.of_kind("speed controller")
        self.controllers = tuple(b for b in controllers if _number(b) in numbers)
        self.servos = wiring.of_kind("servo")[:MOST_SERVOS]
        self.battery = next(iter(wiring.of_kind("battery")), None)
        self.inline = (*wiring.of_kind("arming plug"), *wiring.of_kind("fuse"))
        self.receiver = next(iter(wiring.of_kind("receiver")), None)
        self.columns = max(1, len(motors))
        self.pitch = (_RIGHT_MM - _LEFT_MM) / self.columns
        self.width = min(_WIDEST_MM, self.pitch - _CHANNEL_MM)
        self.servo_rows = math.ceil(len(self.servos) / _SERVO_COLUMNS)
        self.key = key_rows(wiring)

    # --- heights -------------------------------------------------------------------------------

    def words(self, block: Block, width: float, *, most: int = 3) -> Words:
        """What stands in a block's box."""
        title = block.kind[:1].upper() + block.kind[1:]
        if block.kind == "servo":
            title = f"{title} {_number(block)}"
        name = block.name
        if block.kind == "battery" and self.wiring.voltage is not None:
            name = f"{name}; {self.wiring.voltage:.1f} V at full throttle"
        return Words.of(f"{title}, {block.side}" if block.side else title, name, width, most=most)

    def row_height(self, blocks: Iterable[Block], width: float, *, most: int = 3) -> float:
        """Height of the tallest box of a row. [mm]"""
        return max((self.words(b, width, most=most).height for b in blocks), default=0.0)

    @property
    def servo_width(self) -> float:
        """Width of a servo's box; channels for leads to lower rows lie left of it. [mm]"""
        return (_RIGHT_MM - _LEFT_MM) / _SERVO_COLUMNS - self.servo_channel - 2.0

    @property
    def servo_channel(self) -> float:
        """Room left of each column of servos. [mm]"""
        return 2.0 + 2.5 * max(0, self.servo_rows - 1)

    def servo_row(self, number: int) -> tuple[Block, ...]:
        """The servos of one row."""
        return self.servos[number * _SERVO_COLUMNS : (number + 1) * _SERVO_COLUMNS]

    def draw(self) -> Canvas:
        """The whole diagram; drawn twice, first only to learn how high it is."""
        height = -self._draw(Canvas(width_mm=WIDTH_MM, height_mm=1.0), top=0.0)
        notes = notes_height(0, self.key)
        canvas = Canvas(width_mm=WIDTH_MM, height_mm=height + notes + 10.0)
        self._draw(canvas, top=canvas.height_mm - 4.0)
        draw_notes(canvas, {}, self.key, top=notes + 2.0, left=_LEFT_MM)
        return canvas

    # --- drawing -------------------------------------------------------------------------------

    def _draw(self, canvas: Canvas, *, top: float) -> float:
        """Everything from the top; where it ends. [mm]"""
        y = self._battery(canvas, top) if self.battery else top
        y = self._controllers(canvas, y) if self.controllers else y
        y = self._motors(canvas, y) if self.motors else y
        return self._receiver(canvas, y) if self.receiver else y

    def _box(
        self, canvas: Canvas, block: Block, left: float, top: float, width: float, most: int = 3
    ) -> Rect:
        words = self.words(block, width, most=most)
        box = Rect(left, top - words.height, left + width, top)
        draw_box(canvas, box, words)
        return box

    def _left(self, column: int) -> float:
        """Left edge of a column's boxes; one column stands in the middle."""
        if self.columns == 1:
            return (_LEFT_MM + _RIGHT_MM - self.width) / 2
        return _LEFT_MM + column * self.pitch

    def _battery(self, canvas: Canvas, top: float) -> float:
        """Battery, then plug and fuse in its lead. Returns where the lead is, from above."""
        assert self.battery is not None
        width = _WIDEST_MM
        left = self._left(0) if self.columns == 1 else (_LEFT_MM + _RIGHT_MM - width) / 2
        y = self._box(canvas, self.battery, left, top, width).bottom
        lead = self._first_lead()
        for block in self.inline:
            self._pair(canvas, left, y, y - _GAP_MM, lead, right=left + width)
            y = self._box(canvas, block, left, y - _GAP_MM, width).bottom
            lead = None
        if not self.controllers:
            return y
        if len(self.controllers) == 1:
            self._pair(canvas, left, y, y - _GAP_MM, lead, right=left + width)
            return y - _GAP_MM
        return self._bus(canvas, left + LEAD_MM, y, lead, right=left + width)

    def _first_lead(self) -> Conductor | None:
        return next((c for c in self.wiring.conductors if c.circuit == "battery"), None)

    def _pair(
        self,
        canvas: Canvas,
        left: float,
        top: float,
        foot: float,
        lead: Conductor | None,
        *,
        right: float,
    ) -> None:
        draw_pair(canvas, left + LEAD_MM, top, foot)
        if lead is not None:
            draw_label(canvas, left + LEAD_MM, top - 1.5, lead_lines(lead), right=right, pair=True)

    def _bus(
        self, canvas: Canvas, x: float, top: float, lead: Conductor | None, *, right: float
    ) -> float:
        """Where the battery's lead parts: two level lines, a dot at every joint."""
        upper, lower = top - _BUS_MM, top - _BUS_MM - APART_MM
        if lead is not None:
            draw_label(canvas, x, top - 0.6, lead_lines(lead), right=right, pair=True)
        draw_signs(canvas, x, top - 4.0)
        foot = lower - _GAP_MM
        for level, offset, kind in ((upper, -APART_MM / 2, PLUS), (lower, APART_MM / 2, MINUS)):
            ends = [self._left(_number(b) - 1) + LEAD_MM + offset for b in self.controllers]
            canvas.line([(min(*ends, x + offset), level), (max(*ends, x + offset), level)], kind)
            canvas.line([(x + offset, top), (x + offset, level)], kind)
            draw_dot(canvas, (x + offset, level))
            for end in ends:
                canvas.line([(end, level), (end, foot)], kind)
                draw_dot(canvas, (end, level))
        for block in self.controllers:
            branch = self.wiring.between(SPLIT, block.key)
            left = self._left(_number(block) - 1)
            draw_signs(canvas, left + LEAD_MM, lower - 5.0)
            if branch is not None:
                draw_label(
                    canvas,
                    left + LEAD_MM,
                    lower - 2.0,
                    lead_lines(branch),
                    right=left + self.width,
                    pair=True,
                )
        return foot

    def _controllers(self, canvas: Canvas, top: float) -> float:
        height = self.row_height(self.controllers, self.width)
        foot = top - height - _GAP_MM
        for block in self.controllers:
            left = self._left(_number(block) - 1)
            box = self._box(canvas, block, left, top, self.width)
            draw_three(canvas, left + LEAD_MM, box.bottom, foot)
            lead = self.wiring.between(block.key, f"motor-{_number(block)}")
            if lead is not None:
                draw_label(
                    canvas, left + LEAD_MM, box.bottom - 1.5, lead_lines(lead), right=box.right
                )
            if self.receiver is not None:
                self._signal(canvas, block, box, foot)
        return foot

    def _signal(self, canvas: Canvas, block: Block, box: Rect, motors_top: float) -> None:
        """The flat cable from a controller past its motor to the receiver."""
        x = box.right + _CHANNEL_MM / 2
        middle = (box.bottom + box.top) / 2
        foot = motors_top - self.row_height(self.motors, self.width) - _GAP_MM
        canvas.line([(box.right, middle), (x, middle), (x, foot)], SIGNAL)
        lead = self.wiring.between(block.key, "receiver")
        if lead is None:
            return
        wordings = (
            [f"feeds the receiver, {amperes(lead)}", f"feeds, {amperes(lead)}", "feeds it"]
            if lead.current
            else ["signal only"]
        )
        draw_label(canvas, box.left - 4.0, foot + 7.5, [wordings], right=x - 1.5)

    def _motors(self, canvas: Canvas, top: float) -> float:
        height = self.row_height(self.motors, self.width)
        for number, block in enumerate(self.motors):
            self._box(canvas, block, self._left(number), top, self.width)
        return top - height - (_GAP_MM if self.receiver else 0.0)

    def _receiver(self, canvas: Canvas, top: float) -> float:
        assert self.receiver is not None
        lead = next((c for c in self.wiring.conductors if c.ends == ("battery", "receiver")), None)
        if lead is not None:
            x = self._left(0) + LEAD_MM
            canvas.line([(x, top), (x, top - _GAP_MM)], SIGNAL)
            draw_label(canvas, x, top - 1.5, lead_lines(lead), right=_RIGHT_MM)
            top -= _GAP_MM
        box = self._box(canvas, self.receiver, _LEFT_MM, top, _RIGHT_MM - _LEFT_MM)
        y = box.bottom
        for row in range(self.servo_rows):
            y = self._servos(canvas, row, y, receiver=box.bottom)
        return y

    def _servos(self, canvas: Canvas, row: int, top: float, *, receiver: float) -> float:
        """One row of servos, each on a lead of its own from the receiver above."""
        blocks, width = self.servo_row(row), self.servo_width
        column = (_RIGHT_MM - _LEFT_MM) / _SERVO_COLUMNS
        foot = top - _LOW_GAP_MM
        for number, block in enumerate(blocks):
            start = _LEFT_MM + number * column
            left = start + self.servo_channel
            x = left + LEAD_MM
            if row == 0:
                canvas.line([(x, receiver), (x, foot)], SIGNAL)
            else:
                channel, turn = start + 2.5 * row - 0.5, foot + 3.0
                canvas.line([(channel, receiver), (channel, turn), (x, turn), (x, foot)], SIGNAL)
            self._box(canvas, block, left, foot, width, most=4)
            lead = self.wiring.between("receiver", block.key)
            if lead is not None:
                text = (
                    [f"{amperes(lead)}, {short(lead)}", amperes(lead)]
                    if lead.size
                    else [amperes(lead)]
                )
                draw_label(canvas, x - 3.0, top - 1.0, [text], right=left + width)
        return foot - self.row_height(blocks, width, most=4)


def diagram_of(wiring: Wiring) -> Canvas:
    """The diagram on a canvas of its own size."""
    return _Diagram(wiring).draw()


def draw_wiring(name: str, wiring: Wiring) -> Drawing:
    """Draw the wiring diagram of a design. name: the design's."""
    return finish(
        diagram_of(wiring).figure(),
        name="wiring",
        alt=f"Wiring of {name}. {' '.join(wiring_sentences(wiring))}",
        caption="Who is wired to whom, with the greatest current of each lead; not to scale."
        + _left_out(wiring),
    )


def _left_out(wiring: Wiring) -> str:
    """What there was no room for."""
    more = [
        f"{len(blocks) - most} more {kind}s"
        for kind, blocks, most in (
            ("motor", wiring.of_kind("motor"), MOST_DRIVES),
            ("servo", wiring.of_kind("servo"), MOST_SERVOS),
        )
        if len(blocks) > most
    ]
    return f" Not drawn: {' and '.join(more)}, wired the same way." if more else ""
