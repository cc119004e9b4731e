"""Words that keep people whole, over all lessons: propellers, handles, leaks, pressure.

The rules are those of the trade: a propeller is treated as live (FAA-H-8083-32, from memory), no hand
searches for a leak of a hydraulic system (several public safety bulletins), a hand-turned scraper on an
engine is turned with the engine stopped (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
import yaml
from glasscan.learning.catalogue import scenario_names, scenario_path

NAMES = scenario_names()
ENGINES = ("piston-single", "piston-test-stand", "radial-lube", "radial-test-stand", "turbine-lube")

HANDS = re.compile(
    r"\b(turn|turns|turning|work) (it|the handle|the scraper)|\bhandle\b.*\bturn|"
    r"\b(look|looks|looking|search|feel|check)\b.*\bleaks?\b|\bwhere do you look\b|\blamp\b|"
    r"\b(slacken|loosen|tighten)\b",
    re.IGNORECASE,
)
"""Work that brings a hand or a face to the filter."""

RUNNING = re.compile(
    r"\b(engine|it) (is )?(running|runs|idles)|\bat idle\b|\bwhile (it|the engine) runs|\b(speed|rpm) is up|"
    r"\brunning engine|\bunder way|\bthe engine turns",
    re.IGNORECASE,
)
"""Words that say that the engine turns."""

KEPT_APART = re.compile(
    r"\bnever\b|\bstop|\bshut down|\bdo not\b|\bnobody\b|\bkeep clear|\bpropeller\b|\bsprays?\b|\bnot\b",
    re.IGNORECASE,
)
"""Words by which a sentence forbids or ends the run instead of working on it."""


def lesson(name: str) -> Any:
    """A lesson file as it is written."""
    return yaml.safe_load(scenario_path(name).read_text(encoding="utf-8"))


def asked_of_people(piece: Any) -> Iterator[str]:
    """Sentences, with the one that follows, that tell or ask somebody to do something.

    Wrong choices are left out: they tempt on purpose.
    """
    told = [piece["about"], *(note["say"] for note in piece.get("notes", ()))]
    for prompt in piece["prompts"]:
        told += [prompt["ask"], prompt.get("why", ""), prompt.get("example", "")]
        told += [step["text"] for step in prompt.get("steps", ())]
        told += [o["text"] for o in prompt.get("options", ()) if _true(o)]
        choices = prompt.get("choices") or prompt.get("answer", {}).get("choices", ())
        told += [c["text"] for c in choices if _true(c)]
    for text in told:
        pieces = re.split(r"(?<=[.?!])\s+", text)
        yield from (" ".join(pair) for pair in zip(pieces, [*pieces[1:], ""], strict=True))


def _true(line: Any) -> bool:
    """Whether a line may be a key: it is not held false by the trade, nor marked unsafe."""
    given = [fact["holds"] for fact in line.get("true_when", ()) if fact["fact"] == "given"]
    return all(given) and not line.get("unsafe", False)


def unsafe_sentences(piece: Any) -> list[str]:
    """Sentences that send a hand to a filter whose engine turns."""
    return [
        s
        for s in asked_of_people(piece)
        if HANDS.search(s) and RUNNING.search(s) and not KEPT_APART.search(s)
    ]


def turned_while_running(piece: Any) -> list[float]:
    """Times at which the scraper is turned or the bowl drained with the shaft turning, s."""
    rpm, until, found = 0.0, 0.0, []
    for line in piece.get("timeline", ()):
        if line["set"] == "rpm":
            rpm, until = line["to"], line["at_s"] + line.get("over_s", 0.0)
        if line["set"] in ("scraper_turns", "drain_bowl") and (rpm > 0.0 or line["at_s"] < until):
            found.append(line["at_s"])
    return found


ON_ENGINES = [
    n for n in NAMES if lesson(n)["plant"]["rig"] in ENGINES and not lesson(n)["fluid"].startswith("iso-")
]
"""Lessons with a propeller: an engine's rig on engine oil. On a shop oil the rig is a pump on a bench."""

ON_HYDRAULICS = [name for name in NAMES if lesson(name)["plant"]["rig"] not in ENGINES]


@pytest.mark.parametrize("name", ON_ENGINES)
def test_every_lesson_on_an_engine_says_propeller(name: str) -> None:
    """The caution of every lesson on an engine names the propeller."""
    assert "propeller" in lesson(name)["safety"].lower()


@pytest.mark.parametrize("name", ON_HYDRAULICS)
def test_every_lesson_on_hydraulics_warns_of_injection(name: str) -> None:
    """The caution names the jet that penetrates skin, and what follows from it."""
    safety = lesson(name)["safety"].lower()
    assert "skin" in safety
    assert re.search(r"surg|hospital", safety)


@pytest.mark.parametrize("name", NAMES)
def test_nobody_is_sent_to_a_filter_whose_engine_turns(name: str) -> None:
    """No question, step, note or right answer asks for a handle, a leak or a joint at a running engine."""
    assert unsafe_sentences(lesson(name)) == []


@pytest.mark.parametrize("name", ON_ENGINES)
def test_the_scraper_of_an_engine_is_turned_at_rest(name: str) -> None:
    """The timeline turns the handle and drains the bowl only when the shaft has come to rest."""
    assert turned_while_running(lesson(name)) == []


@pytest.mark.parametrize("name", [n for n in NAMES if lesson(n)["plant"]["rig"].startswith("radial-")])
def test_every_radial_is_checked_for_hydraulic_lock(name: str) -> None:
    """The oil tank stands above the engine: the caution names hydraulic lock."""
    assert "hydraulic lock" in lesson(name)["safety"].lower()


@pytest.mark.parametrize(
    "say",
    [
        "The engine runs with warm oil. Tomas turns the handle at 40 s and at 60 s.",
        "The engine is running: look for a leak with lamp and mirror.",
        "The speed is up. Where do you look, and with what?",
    ],
)
def test_the_rule_finds_what_it_is_for(say: str) -> None:
    """Sentences of the kind that stood in lessons once are found."""
    assert unsafe_sentences({"about": say, "prompts": []})


def test_a_handle_turned_on_a_running_engine_is_found() -> None:
    """A timeline that turns the scraper at 1,800 rpm is found, one that waits for the shaft is not."""
    up = {"at_s": 2.0, "set": "rpm", "to": 1800, "over_s": 3.0}
    down = {"at_s": 30.0, "set": "rpm", "to": 0, "over_s": 4.0}
    turn = {"set": "scraper_turns", "to": 1}
    assert turned_while_running({"timeline": [up, {"at_s": 20.0, **turn}]}) == [20.0]
    assert turned_while_running({"timeline": [up, down, {"at_s": 32.0, **turn}]}) == [32.0]
    assert turned_while_running({"timeline": [up, down, {"at_s": 40.0, **turn}]}) == []
