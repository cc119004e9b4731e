"""Part names beside the cutaway, each with a leader line; neither names nor lines cross."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise, permutations

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.spreading import spread
from glasscan.window.contract import Part
from glasscan.window.cutaway.section_view import View

REACH = 3  # names further apart in a column are not tried in each other's place
Point = tuple[float, float]


@dataclass(frozen=True)
class Label:
    """One placed name: text, box, side (1 right, -1 left), and its leader from the text to the part."""

    text: str
    box: pygame.Rect
    side: int
    leader: tuple[Point, Point, Point]


def crossing(a: Point, b: Point, c: Point, d: Point) -> bool:
    """True where the segments ab and cd cross."""

    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


def _beside(point: Point, a: Point, b: Point) -> float:
    """Distance of a point from the segment ab."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    along = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / max(dx * dx + dy * dy, 1e-12)
    share = min(max(along, 0.0), 1.0)
    return float(((point[0] - a[0] - share * dx) ** 2 + (point[1] - a[1] - share * dy) ** 2) ** 0.5)


def runs_over(one: Label, other: Label, least: float) -> bool:
    """True where the leader of one label passes nearer than `least` to the dot of another."""
    tip = other.leader[-1]
    return any(_beside(tip, *segment) < least for segment in pairwise(one.leader))


def leaders_cross(one: Label, other: Label) -> bool:
    """True where the leader lines of two labels cross."""
    firsts = list(pairwise(one.leader))
    seconds = list(pairwise(other.leader))
    return any(crossing(*s, *t) for s in firsts for t in seconds)


def shown_name(part: Part) -> str:
    """Name of a part as a label."""
    return part.name[:1].upper() + part.name[1:]


def share_sides(parts: Sequence[Part], left_above_m: float = np.inf) -> tuple[list[Part], list[Part]]:
    """Parts for the right and the left column, from the top down.

    What is drawn only right stays there; each other part goes where its nearest neighbour in height is
    further away, so that names spread over both columns and their leaders stay short. Above a height they
    all go left: at the right stands what leaves by the outlet.
    """
    right = [p for p in parts if not p.mirrored]
    left = [p for p in parts if p.mirrored and p.label_at[1] > left_above_m]
    most = max((len(parts) + 1) // 2, len(right))
    spread = [p for p in parts if p.mirrored and p.label_at[1] <= left_above_m]
    for part in sorted(spread, key=lambda p: -p.label_at[1]):
        wanted = left if _room(part, left) > _room(part, right) else right
        other = right if wanted is left else left
        (wanted if len(wanted) < most else other).append(part)
    return right, left


def _room(part: Part, column: Sequence[Part]) -> float:
    """Distance in height to the nearest part of a column, m; a column without parts is far away."""
    return min((abs(part.label_at[1] - other.label_at[1]) for other in column), default=1.0)


def place(
    parts: Sequence[Part],
    canvas: Canvas,
    view: View,
    columns: dict[int, pygame.Rect],
    left_above_m: float = np.inf,
) -> list[Label]:
    """Place the names of `parts` in the columns beside it: `columns[1]` right, `columns[-1]` left.

    With one column only, all names go there. They are placed with the valve shut and stay there while it
    moves; `moved` takes the ends of the leaders along.
    """
    named = [p for p in parts if p.name]
    if len(columns) == 2:
        shares = dict(zip((1, -1), share_sides(named, left_above_m), strict=True))
    else:
        shares = dict.fromkeys(columns, named)
    labels: list[Label] = []
    for side, column in columns.items():
        labels += _column(shares[side], canvas, view, column, side)
    return labels


def moved(labels: Sequence[Label], parts: Sequence[Part], view: View, lift_m: float) -> list[Label]:
    """The labels with the ends of their leaders on parts that have moved with the valve."""
    movers = {shown_name(p): p for p in parts if p.lifts}
    return [
        replace(one, leader=(*one.leader[:2], _tip(movers[one.text], view, one.side, lift_m)))
        if one.text in movers
        else one
        for one in labels
    ]


def _column(parts: Sequence[Part], canvas: Canvas, view: View, column: pygame.Rect, side: int) -> list[Label]:
    parts = _that_fit(parts, canvas, column)
    tips = [_tip(p, view, side, 0.0) for p in parts]
    sizes = [canvas.measure(shown_name(p), wrap=column.w) for p in parts]
    # from the top down; of two at the same height the nearer one first, where the leaders come from above
    order = sorted(range(len(parts)), key=lambda i: (round(tips[i][1] / canvas.dp(8)), -side * tips[i][0]))
    spare = column.h - sum(h for _, h in sizes)
    gap = max(0, min(canvas.dp(10), spare // max(1, len(parts))))
    for _ in range(len(parts) ** 2 + 1):
        labels = _lay(order, parts, tips, sizes, column, side, gap, canvas.dp(22))
        clash = next((k for k in range(len(labels) - 1) if leaders_cross(labels[k], labels[k + 1])), None)
        if clash is None:
            break
        order[clash], order[clash + 1] = order[clash + 1], order[clash]
    if not parts:
        return []
    return _cleared(
        labels,
        order,
        lambda found: _lay(found, parts, tips, sizes, column, side, gap, canvas.dp(22)),
        canvas.dp(10),
    )


def _muddle(labels: Sequence[Label], least: float) -> int:
    """How many leaders cross, or pass over the dot of another: crossings count more."""
    pairs = list(permutations(labels, 2))
    crossed = sum(leaders_cross(one, other) for one, other in pairs) // 2
    return 100 * crossed + sum(runs_over(one, other, least) for one, other in pairs)


def _cleared(
    labels: list[Label], order: list[int], lay: Callable[[Sequence[int]], list[Label]], least: float
) -> list[Label]:
    """The best order that swaps of two names reach; most columns are clear as they are."""
    now = _muddle(labels, least)
    for _ in range(len(order)):
        if now == 0:
            break
        tried = []
        for i, k in combinations(range(len(order)), 2):
            if k - i > REACH:
                continue
            other = list(order)
            other[i], other[k] = other[k], other[i]
            found = lay(other)
            tried.append((_muddle(found, least), other, found))
        best = min(tried, key=lambda row: row[0])
        if best[0] >= now:
            break
        now, order, labels = best
    return labels


def _that_fit(parts: Sequence[Part], canvas: Canvas, column: pygame.Rect) -> list[Part]:
    """Parts whose names fit into the column; of too many the last ones that do not move go without."""
    kept = list(parts)
    heights = {p.key: canvas.measure(shown_name(p), wrap=column.w)[1] for p in kept}
    while len(kept) > 1 and sum(heights[p.key] for p in kept) > column.h:
        kept.remove(next((p for p in reversed(kept) if not p.lifts), kept[-1]))
    return kept


def _tip(part: Part, view: View, side: int, lift_m: float) -> Point:
    moved = lift_m if part.lifts else 0.0
    r, z = (at + moved * way for at, way in zip(part.label_at, part.direction, strict=True))
    return view.axis_x + side * r * view.px_m, view.zero_y - z * view.px_m


def _lay(
    order: Sequence[int],
    parts: Sequence[Part],
    tips: Sequence[Point],
    sizes: Sequence[tuple[int, int]],
    column: pygame.Rect,
    side: int,
    gap: int,
    reach: int,
) -> list[Label]:
    heights = [sizes[i][1] for i in order]
    centres = spread([tips[i][1] for i in order], heights, column.top, column.bottom, gap)
    labels = []
    for i, centre in zip(order, centres, strict=True):
        _, h = sizes[i]
        box = pygame.Rect(0, round(centre - h / 2), column.w, h)
        box.left = column.left
        start = box.left - reach * 0.2 if side > 0 else box.right + reach * 0.2
        knee = start - side * reach
        labels.append(Label(shown_name(parts[i]), box, side, ((start, centre), (knee, centre), tips[i])))
    return labels


def draw(labels: Sequence[Label], canvas: Canvas) -> None:
    """Draw names and leaders: a dark line with a light core, so that it shows on metal, oil and paper."""
    for label in labels:
        for width, colour in ((5, "paper"), (2, "ink")):
            pygame.draw.lines(canvas.surface, canvas.theme[colour], False, label.leader, canvas.dp(width))
        _dot(canvas, label.leader[-1])
    for label in labels:
        canvas.text(label.text, label.box, align="left" if label.side > 0 else "right", wrap=True)


def _dot(canvas: Canvas, at: Point) -> None:
    size = canvas.dp(14)
    rect = pygame.Rect(0, 0, size, size)
    rect.center = (round(at[0]), round(at[1]))
    canvas.panel(rect, "ink", "paper", 7, 3)
