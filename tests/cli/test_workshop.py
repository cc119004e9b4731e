"""`glasscan inspect` and `glasscan job`: one JSON object, bad words in one line."""

from __future__ import annotations

import json

import pytest
from glasscan.cli.main import main


def told(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, object]:
    """What a command prints as JSON, alone on standard output."""
    assert main([*words, "--json"]) == 0
    out = capsys.readouterr().out
    found: dict[str, object] = json.loads(out)
    assert out.count("\n") == 1
    return found


def test_inspect_hides_the_kinds_until_asked(capsys: pytest.CaptureFixture[str]) -> None:
    """Looks only, unless it is to solve; the mass laid out is the mass held."""
    words = ("inspect", "--story", "sealant", "--seed", "3")
    plain = told(capsys, *words)
    assert "right" not in plain
    assert "D13" not in json.dumps(plain["heaps"])
    assert plain["laid_out_mg"] == plain["mass_mg"]
    solved = told(capsys, *words, "--solve")
    assert "D13" in {r["kind"] for r in solved["right"].values()}  # type: ignore[attr-defined]
    assert told(capsys, *words) == plain


def test_inspect_marks_what_is_judged(capsys: pytest.CaptureFixture[str]) -> None:
    """Judged as solved gives the marks; saying nothing of the rest is a missed defect."""
    words = ("inspect", "--story", "flange-paint", "--seed", "3")
    right: dict[str, dict[str, str]] = told(capsys, *words, "--solve")["right"]  # type: ignore[assignment]
    judged = [f"--judge={h}={r['kind']},{r['amount']},{r['action']}" for h, r in right.items()]
    full = told(capsys, *words, *judged, "--not-sound", "seal")["marking"]
    assert full["marks"] == full["out_of"]  # type: ignore[index]
    assert full["gates"] == []  # type: ignore[index]
    assert told(capsys, *words, judged[0])["marking"]["gates"]  # type: ignore[index]


def test_inspect_a_lesson(capsys: pytest.CaptureFixture[str]) -> None:
    """The filter of a lesson holds what that run left: milligrams, of a clean filling."""
    found = told(capsys, "inspect", "twenty-psi")
    assert found["mass_mg"] > 1.0  # type: ignore[operator]
    assert found["filter"] in ("can", "cartridge", "disc")


def test_job_lists_does_and_runs(capsys: pytest.CaptureFixture[str]) -> None:
    """The tray, then a job with the old gasket left: a gate, a condition, and oil lost in the next run."""
    tray = told(capsys, "job", "can-change")
    cards = {c["step"] for c in tray["cards"]}  # type: ignore[attr-defined]
    assert {"find-gasket", "find-gasket:slip", "sealant-on"} <= cards
    steps = (
        "right-manual,made-safe,protected,cut-wire,break-loose,unscrew,find-gasket:slip,oil-gasket,spin-on"
    )
    done = told(capsys, "job", "can-change", "--met", "old-gasket-on-head", "--steps", steps, "--run")
    assert "double-gasket" in {x["condition"] for x in done["left"]}  # type: ignore[attr-defined]
    assert not done["passed"]
    lost = done["next_run"]["lost"]  # type: ignore[index]
    assert lost["yours"]["at_end"] > 1.0 > lost["well"]["at_end"]


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (("inspect", "--story", "bearing-spals"), "bearing-spalls"),
        (("inspect", "--story", "blades-bent"), "blades-bent"),
        (("inspect", "--story", "flange-paint", "--open", "sew"), "saw"),
        (("inspect", "--story", "flange-paint", "--judge", "outside-1"), "HEAP=KIND,AMOUNT,ACTION"),
        (("inspect", "--story", "flange-paint", "--not-sound", "valv"), "valve"),
        (("inspect", "cold-start", "--story", "healthy"), "found both"),
        (("job", "can-chang"), "can-change"),
        (("job", "can-change", "--steps", "spinon"), "spin-on"),
        (("job", "can-change", "--steps", "3,99"), "a card from 1 to"),
        (("job", "can-change", "--met", "old-gasket"), "old-gasket-on-head"),
        (("job", "can-change", "--filter", "disc"), "can"),
        (("job", "can-change", "--steps", "right-manual,right-manual"), "done already"),
    ],
)
def test_bad_words(capsys: pytest.CaptureFixture[str], words: tuple[str, ...], named: str) -> None:
    """One line on standard error with what was expected, and exit code 2."""
    assert main(list(words)) == 2
    both = capsys.readouterr()
    assert both.out == ""
    assert both.err.count("\n") == 1
    assert named in both.err


def test_cards_are_listed_and_done_by_number(capsys):
    """In words the tray does not tell which card is the wrong way; a number does the same as a name."""
    from glasscan.cli.main import main

    assert main(["job", "can-change"]) == 0
    tray = capsys.readouterr().out
    assert ":slip" not in tray
    first = tray.split("\n\n", 1)[1].splitlines()
    cards = told(capsys, "job", "can-change")["cards"]
    assert [line.split(None, 1) for line in first] == [[str(i), c["text"]] for i, c in enumerate(cards, 1)]
    by_number = told(capsys, "job", "can-change", "--steps", "3,6")
    by_name = told(capsys, "job", "can-change", "--steps", f"{cards[2]['step']},{cards[5]['step']}")
    assert by_number == by_name
