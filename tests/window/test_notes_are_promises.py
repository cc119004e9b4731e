"""Whatever a presenter's note tells people to see is to be seen then: the drawn facts at that moment."""

import re

import pygame
import pytest
from glasscan.learning.scenario_loading import load_scenario
from glasscan.paths import scenario_folder
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen

SIZE = (1280, 720)
ASKS_TO_LOOK = re.compile(r"\b[Ww]atch\b|\b[Ff]reeze when|\bPoint at\b|\bpoint at\b")
LONG = "comes after days of running: seen in test_deposit_seen.py and test_why_words.py"
PART = "a part, lit by F: test_showing.py walks through all of them"

# lesson and moment -> drawn fact that must differ between two moments (s), or why it is held elsewhere
PROMISES = {
    ("cold-start", "gallery-full"): ("unfiltered_share", 0.0, None),
    ("element-clogs", "bypass-cracks"): LONG,
    ("first-start-after-the-night", 0): PART,
    ("first-start-after-the-night", 30): "the watch is one that tells the time",
    ("regulator-moved", 60): ("regulator", 55.0, 66.0),
    ("scraper-day", 20): PART,
    ("turn-the-handle", 55): ("combed_mg", 54.0, 60.0),
    ("warm-start", 60): ("port_arrow_px", 55.0, 75.0),
    ("what-the-bowl-keeps", 0): PART,
    ("what-the-bowl-keeps", 55): ("combed_mg", 54.0, 60.0),
}


def notes():
    """Every note of a shipped lesson that asks to look at something: lesson, moment, words."""
    for name in sorted(path.stem for path in scenario_folder().glob("*.yaml")):
        for note in load_scenario(name, []).notes:
            if ASKS_TO_LOOK.search(note.say):
                yield name, note.event or round(note.at_s), note.say


def test_every_note_that_asks_to_look_is_held():
    """A new note that says "watch" or "freeze when" asks for a line above."""
    asked = {(name, moment) for name, moment, _ in notes()}
    assert len(asked) >= 8
    assert asked <= set(PROMISES), asked - set(PROMISES)


def drawn(session, at_s):
    """Facts of the window's picture at a moment, with the circuit in view."""
    session.jump_to(at_s)
    screen = Screen(session, predict=False)
    screen.desk.circuit = "strip"
    return screen.draw(pygame.Surface(SIZE)).drawn


@pytest.mark.parametrize("promise", [p for p, held in PROMISES.items() if not isinstance(held, str)], ids=str)
def test_what_the_note_promises_is_drawn(promise):
    """Between the two moments the fact in the picture changes, as the class is told to see."""
    key, first_s, last_s = PROMISES[promise]
    session = open_session(load_scenario(promise[0], []), keys=False).session
    if last_s is None:
        session.run_to(30.0)
        last_s = next(e.t_s for e in session.events if e.word == promise[1])
        session.rewind(0.0)
    before, after = drawn(session, first_s).get(key), drawn(session, last_s).get(key)
    assert after is not None
    if key == "regulator":
        before, after = before["place"], after["place"]
    assert after != before
    if key == "combed_mg":
        assert after > before
