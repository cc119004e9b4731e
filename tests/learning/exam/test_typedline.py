"""Typed lines as answers, for every form a prompt can have."""

from __future__ import annotations

import pytest
from glasscan.learning.exam.answer_codec import as_answer, read_line, shown_lines
from glasscan.learning.prompts import Axes, PosedQuestion

LINES = (("first-one", "First"), ("second", "Second"), ("third", "Third"))


def ask(form: str, **more: object) -> PosedQuestion:
    """A question of a form."""
    return PosedQuestion("s/q", "after", "What?", form, **more)  # type: ignore[arg-type]


CHOICE = ask("choice", choices=LINES)
NUMBER = ask("number", unit="kPa", units=("kPa", "psi"))
STRIP = ask("valve-strip", edges_s=(0.0, 5.0, 20.0, 60.0))
SEVERAL = ask("several", choices=LINES)
ORDER = ask("order", choices=LINES)
POINT = ask("point", parts=(("v", "valve-poppet", "bypass valve"), ("s", "seal", "seal")))
CURVE = ask("curve", axes=Axes(0, 60, 0, 100, "kPa", "dp_kpa"))
ENTRY = ask("entry", most_letters=10)


@pytest.mark.parametrize(
    ("asked", "line", "stored", "answer"),
    [
        (CHOICE, " B ", "second", "second"),
        (CHOICE, "third", "third", "third"),
        (NUMBER, "12,5  psi", "12,5 psi", "12,5 psi"),
        (NUMBER, "Never", "never", "never"),
        (STRIP, "s O shut", "shut open shut", [False, True, False]),
        (SEVERAL, "a, c", "first-one third", ("first-one", "third")),
        (SEVERAL, "none", "none", ()),
        (ORDER, "c > a > b", "third first-one second", ("third", "first-one", "second")),
        (POINT, "v", "valve-poppet", "valve-poppet"),
        (POINT, "seal", "seal", "seal"),
        (CURVE, "0:0 5:80", "0:0 5:80", "0:0 5:80"),
        (ENTRY, "No leaks", "No leaks", "No leaks"),
    ],
)
def test_a_line_is_stored_and_given_to_the_marking(
    asked: PosedQuestion, line: str, stored: str, answer: object
) -> None:
    """Each form takes its letters or words, stores one line, and gives the marking what it expects."""
    assert read_line(asked, line) == stored
    assert as_answer(asked, stored) == answer


@pytest.mark.parametrize(
    ("asked", "line", "expected"),
    [
        (CHOICE, "d", "expected one of a, b, c, found 'd'"),
        (NUMBER, "twelve", "expected a number"),
        (NUMBER, "1 furlong", "unknown unit 'furlong'"),
        (STRIP, "s o", "expected 3 words"),
        (STRIP, "s o x", "each open or shut"),
        (SEVERAL, "a x", "found 'x'"),
        (ORDER, "a a b", "given twice"),
        (POINT, "z", "expected one of v, s"),
        (CURVE, "5:0 0:0", "each later than the one before"),
        (ENTRY, "x" * 11, "at most 10 letters, found 11"),
    ],
)
def test_no_answer_is_refused_with_what_was_expected(asked: PosedQuestion, line: str, expected: str) -> None:
    """A line that is no answer is refused before anything is stored, and the text helps."""
    with pytest.raises(ValueError, match=expected):
        read_line(asked, line)


@pytest.mark.parametrize("asked", [CHOICE, NUMBER, STRIP, SEVERAL, ORDER, POINT, CURVE, ENTRY])
def test_every_form_says_how_to_answer(asked: PosedQuestion) -> None:
    """The lines under a question show every choice and end with how to answer."""
    lines = shown_lines(asked)
    assert lines[-1]
    texts = [text for _, text in asked.choices] + [name for _, _, name in asked.parts]
    assert [line.split(maxsplit=1)[1] for line in lines[: len(texts)]] == texts


def test_a_strip_shows_its_windows_of_time() -> None:
    """A learner can see which word belongs to which seconds."""
    assert shown_lines(STRIP)[:3] == ["  0 to 5 s", "  5 to 20 s", "  20 to 60 s"]
