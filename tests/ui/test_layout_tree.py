"""The layout tree: nothing overlaps, nothing leaves the box, spare room goes where it is wanted."""

from __future__ import annotations

import pygame
import pytest
from glasscan.ui.canvas import Canvas
from glasscan.ui.layout import Column, Item, Node, Row, Text, fields
from glasscan.ui.theme import load_theme
from glasscan.ui.widgets import Button
from hypothesis import given
from hypothesis import strategies as st

WIDE, HIGH = 1200, 900


def canvas(scale: float = 1.0) -> Canvas:
    """A canvas at the size of the design."""
    return Canvas(pygame.Surface((1920, 1080)), load_theme("dark"), scale)


def button(name: str) -> Item:
    """A button in the tree."""
    return Item(Button(name, name, lambda: None))


leaves = st.builds(
    lambda n, grow: Item(Button(f"b{n}", "x", lambda: None), grow=grow),
    st.integers(0, 99),
    st.sampled_from((0, 1, 2)),
)
trees = st.recursive(
    leaves,
    lambda inner: st.builds(
        lambda kind, children, grow: kind(children, grow=grow),
        st.sampled_from((Row, Column)),
        st.lists(inner, min_size=1, max_size=3),
        st.sampled_from((0, 1)),
    ),
    max_leaves=8,
)


def boxes(node: Node) -> list[pygame.Rect]:
    """Boxes of the widgets of a tree."""
    return [w.box for w in node.widgets()]


@given(trees, st.sampled_from((0.85, 1.0, 1.5, 2.0)))
def test_no_two_widgets_overlap(tree, scale):
    """However rows and columns are nested."""
    tree.place(canvas(scale), pygame.Rect(0, 0, WIDE, 20_000))
    placed = [box for box in boxes(tree) if box.w and box.h]
    for i, box in enumerate(placed):
        assert box.collidelist(placed[i + 1 :]) < 0


def test_spare_room_goes_by_shares():
    """Two to one, after the fixed part and the gaps."""
    fixed, large, small = button("fixed"), button("large"), button("small")
    large.grow, small.grow = 2, 1
    tree = Column([fixed, large, small], gap=10)
    tree.place(canvas(), pygame.Rect(0, 0, WIDE, HIGH))
    rest = HIGH - fixed.box.h - 20
    assert large.box.h == pytest.approx(rest * 2 / 3, abs=1)
    assert small.box.h == pytest.approx(rest / 3, abs=1)
    assert small.box.bottom == pytest.approx(HIGH, abs=2)


def test_text_takes_the_height_of_its_wrapped_words_and_an_optional_one_gives_way():
    """What follows stands under all its lines; where there is no room for words that may go, they go."""
    c = canvas()
    words = Text("oil pressure " * 40)
    below = button("below")
    Column([words, below], gap=0).place(c, pygame.Rect(0, 0, 400, HIGH))
    assert below.box.y == c.measure(words.words, wrap=400)[1]
    note = Text("a long note " * 200, optional=True, grow=1)
    tree = Column([button("x"), note])
    tree.place(c, pygame.Rect(0, 0, 400, 200))
    tree.paint(c)
    assert not [t for t in c.texts if t.text.startswith("a long note")]


def test_labels_of_a_form_share_one_width():
    """Fields begin at one edge."""
    c = canvas(1.5)
    rows = fields(c, [("Seed", button("a").widget), ("A much longer label", button("b").widget)])
    Column(rows).place(c, pygame.Rect(0, 0, WIDE, HIGH))
    left = {box.x for row in rows for box in boxes(row)}
    assert len(left) == 1


def test_a_centred_column():
    """A narrow page stands in the middle."""
    child = Column([button("x")], w=400)
    Column([child], align="centre").place(canvas(), pygame.Rect(0, 0, WIDE, HIGH))
    assert child.box.centerx == WIDE // 2
