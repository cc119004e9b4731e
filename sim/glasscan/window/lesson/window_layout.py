"""All boxes of the window in one place: sizes in dp for geometry, in tp where text decides."""

from __future__ import annotations

from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import DESIGN_H, DESIGN_W

STRIP_DP = 292.0  # height of the strip of the circuit
KEY_BESIDE_DP = 150  # width of the key of colours while the controls are open
LARGE_TEXT = 1.2  # from this text scale on, gauges are laid out without their bars


@dataclass(frozen=True)
class Layout:
    """Boxes by name, px, and whether the large-text arrangement is used."""

    boxes: dict[str, pygame.Rect]
    large: bool

    def __getitem__(self, name: str) -> pygame.Rect:
        return self.boxes[name]


@dataclass(frozen=True)
class Measure:
    """Converts dp and tp to pixels for one window size and text scale."""

    scale: float
    text: float

    def dp(self, value: float) -> int:
        """Pixels of a length."""
        return round(value * self.scale)

    def tp(self, value: float) -> int:
        """Pixels of a length that grows with the text."""
        return round(value * self.scale * self.text)


def arrange(size: tuple[int, int], text_scale: float, drawer: bool = False, circuit: bool = False) -> Layout:
    """Boxes of the window for a size in pixels, a text scale, with or without drawer and circuit.

    From left to right: the key (legend), the cutaway between two columns of part names, the gauges over
    the trace; above them the title and the clock, below them three controls and the caption.
    """
    w, h = size
    m = Measure(min(w / DESIGN_W, h / DESIGN_H), text_scale)
    margin, gap = m.dp(36), m.dp(16)
    top = pygame.Rect(margin, m.dp(20), w - 2 * margin, m.tp(58))
    bottom = pygame.Rect(margin, h - m.dp(20) - m.tp(60), w - 2 * margin, m.tp(60))
    body = pygame.Rect(margin, top.bottom + gap, w - 2 * margin, bottom.y - top.bottom - 2 * gap)
    boxes = {"title": top.copy(), "body": body}
    boxes |= _top(top, m)
    boxes |= _bottom(bottom, m)
    right_w = min(round(m.dp(600) * (1 + 0.5 * (text_scale - 1))), round(0.42 * w))
    right = pygame.Rect(body.right - right_w, body.y, right_w, body.h)
    boxes["right"] = right
    boxes |= _right(right, m)
    boxes |= _left(body, right, m, drawer)
    if circuit:
        _make_room(boxes, m)
    return Layout(boxes, text_scale > LARGE_TEXT)


def _make_room(boxes: dict[str, pygame.Rect], m: Measure) -> None:
    """The strip of the circuit under key, names and can."""
    whole = boxes["closer"]
    strip_h = min(m.dp(STRIP_DP), round(0.36 * whole.h))
    boxes["circuit"] = pygame.Rect(whole.x, whole.bottom - strip_h, whole.w, strip_h)
    for name in ("key", "names_left", "names_right", "can"):
        boxes[name].h -= strip_h + m.dp(14)


def _top(top: pygame.Rect, m: Measure) -> dict[str, pygame.Rect]:
    clock = pygame.Rect(top.right - m.tp(210), top.y, m.tp(210), top.h)
    pace = pygame.Rect(clock.x - m.tp(270), top.y, m.tp(260), top.h)
    return {
        "title": pygame.Rect(top.x, top.y, pace.x - top.x - m.dp(16), top.h),
        "clock": clock,
        "pace": pace,
    }


def _bottom(bottom: pygame.Rect, m: Measure) -> dict[str, pygame.Rect]:
    run = pygame.Rect(bottom.x, bottom.y, m.tp(150), bottom.h)
    speed = pygame.Rect(run.right + m.dp(18), bottom.y, m.tp(290), bottom.h)
    more = pygame.Rect(speed.right + m.dp(18), bottom.y, m.tp(170), bottom.h)
    left = more.right + m.dp(26)
    caption = pygame.Rect(left, bottom.y, bottom.right - left, bottom.h)
    return {"run": run, "speed": speed, "more": more, "caption": caption}


def _right(right: pygame.Rect, m: Measure) -> dict[str, pygame.Rect]:
    large = m.text > LARGE_TEXT
    gap = m.dp(12)
    hero = pygame.Rect(right.x, right.y, right.w, m.tp(126 if large else 196))
    cell_h = m.tp(90 if large else 98)
    cell_w = (right.w - gap) // 2
    boxes = {"hero": hero}
    for i in range(6):
        x = right.x + (i % 2) * (cell_w + gap)
        boxes[f"cell{i}"] = pygame.Rect(x, hero.bottom + gap + (i // 2) * (cell_h + gap), cell_w, cell_h)
    y = boxes["cell5"].bottom + gap
    boxes["slot"] = pygame.Rect(right.x, y, right.w, right.bottom - y)
    return boxes


def _left(body: pygame.Rect, right: pygame.Rect, m: Measure, drawer: bool) -> dict[str, pygame.Rect]:
    """Key, names and can. Large text has names on one side only, and none beside an open drawer."""
    large = m.text > LARGE_TEXT
    leader = m.dp(34)
    key = pygame.Rect(body.x, body.y, m.tp(150 if large else 196), body.h)
    names_w = m.tp(188 if large else 166)
    left = pygame.Rect(key.right + m.dp(12), body.y, 0 if large or drawer else names_w, body.h)
    drawer_box = pygame.Rect(body.x, body.y, max(key.w + m.dp(12) + left.w, m.tp(350)), body.h)
    start = drawer_box.right if drawer else left.right
    if drawer and not large:  # the key of colours stays beside the controls
        key = pygame.Rect(drawer_box.right + m.dp(20), body.y, m.tp(KEY_BESIDE_DP), body.h)
        start = key.right
    end = right.x - m.dp(24)
    right_names = pygame.Rect(end - names_w, body.y, names_w, body.h)
    if large and drawer:
        right_names = pygame.Rect(end, body.y, 0, body.h)
    can = pygame.Rect(start + leader, body.y, 0, body.h)
    can.w = right_names.x - leader - can.x
    left_edge = drawer_box.right + m.dp(20) if drawer else body.x
    closer = pygame.Rect(left_edge, body.y, end - left_edge, body.h)
    return {
        "closer": closer,
        "key": key,
        "names_left": left,
        "names_right": right_names,
        "can": can,
        "drawer": drawer_box,
    }
