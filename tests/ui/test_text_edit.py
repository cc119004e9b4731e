"""Editing text as people expect of every desktop: caret, selection, words, clipboard, undo, input methods.

Common practice, no source: the keys are those that desktop toolkits share.
"""

from __future__ import annotations

import pygame
import pytest
from glasscan.ui import text_input
from glasscan.ui.canvas import Canvas
from glasscan.ui.focus import Form
from glasscan.ui.text_edit import TextEdit
from glasscan.ui.text_input import LineEntry, TextPad
from glasscan.ui.theme import load_theme
from hypothesis import given
from hypothesis import strategies as st

BOX = pygame.Rect(100, 100, 600, 60)
CTRL, SHIFT = pygame.KMOD_CTRL, pygame.KMOD_SHIFT


class Bench:
    """One field in a form, typed into as the window does."""

    def __init__(self, kind=LineEntry, box=BOX, **more):
        self.text = ""
        self.field = kind(
            "line", "", lambda: self.text, lambda text: setattr(self, "text", text), box=box, **more
        )
        self.form = Form([self.field])
        self.form.focus_on("line")
        self.canvas = Canvas(pygame.Surface((1920, 1080)), load_theme("dark"))
        self.draw()

    def draw(self):
        """Draw it."""
        self.canvas.texts.clear()
        self.form.draw(self.canvas)

    def press(self, key, mod=0, unicode=""):
        """One key; a printable one comes again as text, as from the system."""
        self.form.handle(pygame.event.Event(pygame.KEYDOWN, key=key, mod=mod, unicode=unicode))
        if unicode.isprintable() and unicode and not mod & CTRL:
            self.form.handle(pygame.event.Event(pygame.TEXTINPUT, text=unicode))
        self.draw()

    def types(self, text):
        """Letters one after another."""
        for mark in text:
            self.press(0, 0, mark)

    def mouse(self, what, pos, **more):
        """The mouse at a point."""
        self.form.handle(pygame.event.Event(what, pos=pos, **({"button": 1} | more)))
        self.draw()


def test_what_was_typed_wrong_is_mended_in_the_middle():
    """The trial that failed: o-umlaut, d, e-acute, Left, Left, x, Home, y gave the letters at the end."""
    desk = Bench()
    desk.types("\u00f6d\u00e9")
    desk.press(pygame.K_LEFT)
    desk.press(pygame.K_LEFT)
    desk.types("x")
    desk.press(pygame.K_HOME)
    desk.types("y")
    assert desk.text == "y\u00f6xd\u00e9"
    desk.press(pygame.K_END)
    desk.press(pygame.K_BACKSPACE)
    desk.press(pygame.K_HOME)
    desk.press(pygame.K_DELETE)
    assert desk.text == "\u00f6xd"


def test_words_and_selection():
    """Ctrl goes by words, Shift selects, typing replaces what is selected."""
    desk = Bench()
    desk.types("oil pressure low")
    desk.press(pygame.K_LEFT, CTRL | SHIFT)
    assert desk.field.edit.selected == "low"
    desk.types("high")
    assert desk.text == "oil pressure high"
    desk.press(pygame.K_BACKSPACE, CTRL)
    assert desk.text == "oil pressure "
    desk.press(pygame.K_a, CTRL, "\x01")
    desk.types("x")
    assert desk.text == "x"


def test_clipboard(monkeypatch):
    """Copy, cut and paste; a pass-phrase goes nowhere."""
    board = []
    monkeypatch.setattr(text_input, "copied", board.append)
    monkeypatch.setattr(text_input, "pasted", lambda: board[-1] + "\n")
    desk = Bench()
    desk.types("seal")
    desk.press(pygame.K_a, CTRL)
    desk.press(pygame.K_x, CTRL)
    assert (desk.text, board) == ("", ["seal"])
    desk.press(pygame.K_v, CTRL)
    desk.press(pygame.K_v, CTRL)
    assert desk.text == "sealseal"  # the line break of the clipboard has no place in a line
    secret = Bench(hidden=True)
    secret.types("seal")
    secret.press(pygame.K_a, CTRL)
    secret.press(pygame.K_c, CTRL)
    assert board == ["seal"]
    assert not [t for t in secret.canvas.texts if "s" in t.text]


def test_undo_and_redo():
    """A run of letters is one change, a deletion another."""
    desk = Bench()
    desk.types("torque")
    desk.press(pygame.K_BACKSPACE)
    desk.press(pygame.K_z, CTRL)
    assert desk.text == "torque"
    desk.press(pygame.K_z, CTRL)
    assert desk.text == ""
    desk.press(pygame.K_y, CTRL)
    assert desk.text == "torque"


def test_the_mouse_puts_the_caret_and_selects():
    """Click, drag, double click."""
    desk = Bench()
    desk.types("oil filter")
    line = desk.field._lines.lines[0]
    third = desk.field._lines.x(line, 3), line.box.centery
    desk.mouse(pygame.MOUSEBUTTONDOWN, third)
    assert desk.field.edit.caret == 3
    desk.mouse(pygame.MOUSEMOTION, (line.box.right, line.box.centery), buttons=(1, 0, 0))
    assert desk.field.edit.selected == " filter"
    desk.mouse(pygame.MOUSEBUTTONUP, third)
    desk.field._clicked_ms = -10_000
    desk.mouse(pygame.MOUSEBUTTONDOWN, (line.box.x + 1, line.box.centery))
    desk.mouse(pygame.MOUSEBUTTONDOWN, (line.box.x + 1, line.box.centery))
    assert desk.field.edit.selected == "oil"


def test_an_input_method_composes_and_commits():
    """What is put together is shown at the caret and is no text until it is given."""
    desk = Bench()
    desk.types("ab")
    desk.press(pygame.K_LEFT)
    desk.form.handle(pygame.event.Event(pygame.TEXTEDITING, text="ni", start=0, length=2))
    desk.draw()
    assert desk.text == "ab"
    assert any(t.text == "ni" for t in desk.canvas.texts)
    desk.form.handle(pygame.event.Event(pygame.TEXTINPUT, text="\u4f60"))
    assert desk.text == "a\u4f60b"


def test_a_form_made_anew_keeps_the_caret():
    """A page makes its widgets anew when the window or its state changes."""
    desk = Bench()
    desk.types("abc")
    desk.press(pygame.K_LEFT)
    fresh = Bench()
    fresh.text = desk.text
    fresh.form.after(desk.form)
    fresh.types("x")
    assert fresh.text == "abxc"


def test_a_pad_goes_by_its_lines():
    """Up and down between drawn lines, Home and End within one, Enter begins another."""
    desk = Bench(TextPad, pygame.Rect(100, 100, 400, 300))
    desk.types("first")
    desk.press(pygame.K_RETURN)
    desk.types("second line")
    desk.press(pygame.K_UP)
    desk.press(pygame.K_HOME)
    desk.types("A ")
    assert desk.text == "A first\nsecond line"
    desk.press(pygame.K_DOWN)
    desk.press(pygame.K_END)
    desk.types(".")
    assert desk.text == "A first\nsecond line."


def test_of_a_long_line_the_part_round_the_caret_is_drawn():
    """It scrolls; no letter leaves the field."""
    desk = Bench(most=400)
    desk.types("0123456789" * 12)
    assert desk.canvas.texts[-1].text.endswith("789")
    assert BOX.contains(desk.canvas.texts[-1].drawn.clip(BOX.inflate(4, 0)))
    desk.press(pygame.K_HOME)
    assert desk.canvas.texts[-1].text.startswith("0123")
    assert desk.canvas.texts[-1].drawn.right <= BOX.right


moves = st.sampled_from(
    ("left", "right", "word-left", "word-right", "home", "end", "all", "undo", "redo", "back", "del")
)


@given(st.lists(st.one_of(st.text(max_size=4), moves), max_size=40), st.integers(0, 30))
def test_any_order_of_edits_leaves_a_whole_text(edits, most):
    """Caret and selection stay within the text, the text within its length; undoing all gives nothing."""
    edit = TextEdit()
    acts = {
        "left": lambda: edit.move(-1, True),
        "right": lambda: edit.move(1),
        "word-left": lambda: edit.move(-1, words=True),
        "word-right": lambda: edit.move(1, True, words=True),
        "home": lambda: edit.go(edit.line_start()),
        "end": lambda: edit.go(edit.line_end(), True),
        "all": edit.select_all,
        "undo": edit.undo,
        "redo": edit.redo,
        "back": lambda: edit.delete(-1),
        "del": lambda: edit.delete(1, words=True),
    }
    for one in edits:
        acts.get(one, lambda one=one: edit.insert(one, most))()
        first, last = edit.selection
        assert 0 <= first <= last <= len(edit.text) <= max(most, 0)
    while edit.undone:
        edit.undo()
    assert edit.text == ""


@pytest.mark.parametrize(
    ("text", "at", "word"), [("oil filter", 1, "oil"), ("oil filter", 6, "filter"), ("", 0, "")]
)
def test_a_word_is_chosen_round_a_place(text, at, word):
    """Letters and digits make a word."""
    edit = TextEdit(text)
    edit.select_word(at)
    assert edit.selected == word
