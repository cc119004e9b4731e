"""`glasscan figure` with every kind of wrong word: exit 2 and one clear line, or a finite answer, in no "
"time."""

from __future__ import annotations

import itertools
import json
import time
from typing import Any

import pytest
from glasscan.cli.main import main
from glasscan.formulas.registry import FigureError, Input, evaluate, find, names

from tests.formulas.test_registry import OWN, plausible

NEVER_NUMBERS = (
    "", " ", "nan", "NaN", "inf", "-inf", "Infinity", "1e400", "-1e999", "0,5", "1,5,5", "5mm", "5 "
    "kg/m3", "1_000",
    "0x10", "٣", "５", "1e", "--1", "1.2.3", "½", "∞", "True", "None", "9" * 4000, "1\n2", "a\x1b[31mb",
)  # fmt: skip
"""Words that are no number in any figure."""
HARD_NUMBERS = (
    "0",
    "-0.0",
    "-1",
    "1e-320",
    "1e-300",
    "1e300",
    "-1e300",
    "1e9",
    "0.5",
    "12",
    "1e-12",
    "999999999999",
)
"""Numbers that some figures refuse; the others answer with finite ones."""
SOLVED = [name for name in names() if "cells" in {item.key for item in find(name).inputs}]
LONGEST = 2500
"""Letters of a line: the list of all units is the longest choice."""
SLOWEST_S = 2.0
"""Far more than any closed law takes on a busy machine."""


def good(name: str) -> dict[str, Any]:
    """Inputs that the figure answers."""
    return {i.key: plausible(i) for i in find(name).inputs if i.needed} | OWN.get(name, {})


def line_of(name: str, given: dict[str, Any]) -> str:
    """The one line of a refusal, or "" where it answered with finite numbers."""
    line = ""
    try:
        json.dumps(evaluate(name, given), allow_nan=False)
    except FigureError as refused:
        line = str(refused)
        if not line or "\n" in line or len(line) > LONGEST:
            pytest.fail(f"{name} {given}: {line[:200]!r}")
    return line


def wrong_for(item: Input) -> tuple[str, ...]:
    """Words that this input can never take."""
    if item.choices:
        return tuple(
            word for word in (*NEVER_NUMBERS, item.choices[0].swapcase() + "x") if word not in item.choices
        )
    return tuple(
        word
        for word in NEVER_NUMBERS
        if not ((item.many and word == "1,5,5") or (item.many and word == "0,5"))
    )


@pytest.mark.parametrize("name", names())
def test_a_word_that_is_no_number_is_named_with_its_key(name: str) -> None:
    """Each key in turn with text, NaN, infinity, a comma, a unit, foreign digits: the line names the key."""
    for item in find(name).inputs:
        for word in wrong_for(item):
            line = line_of(name, good(name) | {item.key: word})
            assert line.startswith(f"{item.key}: expected"), (item.key, word, line)


@pytest.mark.parametrize("name", [name for name in names() if name not in SOLVED])
def test_any_number_is_answered_finitely_or_refused_in_time(name: str) -> None:
    """Zero, negative, tiny and huge numbers in each key and in all: finite JSON or one line, in bounded "
    "time."""
    items = [item for item in find(name).inputs if not item.choices and not item.many]
    start = time.perf_counter()
    tried = 0
    for item, word in itertools.product(items, HARD_NUMBERS):
        line_of(name, good(name) | {item.key: word})
        tried += 1
    for word in HARD_NUMBERS:
        line_of(name, good(name) | {item.key: word for item in items})
        tried += 1
    assert time.perf_counter() - start < SLOWEST_S + 0.1 * tried


def said(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """Exit code, standard output and standard error of the command."""
    code = main(["figure", *words, "--json"])
    out, err = capsys.readouterr()
    return code, out, err


@pytest.mark.parametrize("name", [name for name in names() if name not in SOLVED])
def test_the_command_refuses_in_one_line(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    """Missing, doubled, unknown and unreadable inputs: exit 2, nothing on standard output, one line that "
    "helps."""
    words = [f"{key}={value}" for key, value in good(name).items()]
    code, out, err = said(capsys, name, *words)
    assert (code, err) == (0, "")
    assert json.loads(out)["name"] == name
    bad = {"unknown": (*words, "colour=red"), "unreadable": (*words, "red"), "no key": (*words, "=3")}
    if words:
        bad |= {"missing": tuple(words[1:]), "doubled": (*words, words[0])}
    for kind, given in bad.items():
        code, out, err = said(capsys, name, *given)
        if kind == "missing" and code == 0:
            continue  # that input may be left out
        assert (code, out) == (2, ""), (kind, err)
        assert err.startswith("figure: ")
        assert err.count("\n") == 1
        assert "Traceback" not in err


def test_what_is_told_of_common_mistakes(capsys: pytest.CaptureFixture[str]) -> None:
    """The nearest figure, key, word and way to write a number."""
    told = {
        ("densty", "rho15=890", "at_c=4"): "did you mean 'density'?",
        ("density", "rho_15=890", "at_c=4"): "did you mean 'rho15'?",
        ("density", "rho15=890", "at_c=4", "at_c=4"): "at_c: expected once, given twice",
        ("density", "rho15=0,89", "at_c=4"): "did you mean '0.89'?",
        ("density", "rho15=890kg/m3", "at_c=4"): "without its unit: '890'?",
        ("density", "rho15=9000", "at_c=4"): "rho15: expected 400 to 2000 kg/m3, got 9000",
        ("blocking", "law=Cake", "j0=1", "k=1", "at_s=1"): "did you mean 'cake'?",
        (
            "annulus",
            "ro_mm=1",
            "ri_mm=2",
            "dp_pa=1",
            "mu_pa_s=1",
            "length_mm=1",
        ): "ri_mm: expected less than ro_mm",
    }
    for words, part in told.items():
        code, out, err = said(capsys, *words)
        assert (code, out) == (2, "")
        assert part in err


@pytest.mark.parametrize("name", SOLVED)
def test_a_solver_refuses_or_answers_at_the_end_of_its_ranges(name: str) -> None:
    """The least flow, and numbers far beyond the range of each input, on few cells: no grid without end."""
    few = {"cells": next(item.low for item in find(name).inputs if item.key == "cells")}
    for item in find(name).inputs:
        words = (0, 7.5, 1e9) if item.key == "cells" else (0.0, 1e-300, 1e300)
        for word in words:
            line_of(name, good(name) | few | {item.key: word})
