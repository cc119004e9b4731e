"""Words that people read: terms of the trade, and the cautions that belong to each kind of machine.

The terms are those of tests/data/glossary.yaml. The cautions are rules of the house: nobody reaches near a
propeller that turns, and nobody feels for a leak by hand (Army and Navy safety bulletins, from memory).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from glasscan.learning.catalogue import scenario_names, scenario_path
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import DrainBowl, Scenario, SetRpm, TurnScraper
from glasscan.paths import asset

NAMES = scenario_names()
READ = ("title", "about", "objective", "safety", "ask", "text", "because", "why", "say", "example")
READ += ("mechanism", "action", "label", "principle", "area", "risk")
"""Keys whose texts people read."""

GLOSSARY = Path(__file__).parents[1] / "data" / "glossary.yaml"
FILES = [*map(scenario_path, NAMES), *sorted(asset("faults").glob("*.yaml")), asset("tests.yaml")]


def texts(piece: Any, key: str = "") -> Iterator[str]:
    """Every text of a data file that people read."""
    if isinstance(piece, dict):
        for name, part in piece.items():
            yield from texts(part, name)
    elif isinstance(piece, list):
        for part in piece:
            yield from texts(part, key)
    elif isinstance(piece, str) and key in READ:
        yield piece


def not_said() -> list[tuple[str, str]]:
    """Patterns that must not stand in a text, each with the term that takes its place."""
    listed = yaml.safe_load(GLOSSARY.read_text(encoding="utf-8"))["terms"]
    return [(pattern, line["term"]) for line in listed for pattern in line["not"]]


@pytest.mark.parametrize("file", FILES, ids=lambda path: path.stem)
def test_one_word_for_one_thing(file: Path) -> None:
    """No text uses a word for which the trade has a better one."""
    piece = yaml.safe_load(file.read_text(encoding="utf-8"))
    read = list(texts(piece))
    assert read
    said = [(bad, good, text) for text in read for bad, good in not_said() if re.search(bad, text.lower())]
    assert said == []


def test_the_glossary_would_catch_a_slip() -> None:
    """Each pattern finds the word it stands for: a text that has them all breaks every line."""
    slips = (
        "screw-on, pressure difference, difference indicator, difference gauge, anti-drain lip, medium, "
        "valve seats, then it seats, seats again, separator, oil passages, the finds, combs, uncombed, "
        "shaft speed, let the pressure go, let pressure out, trade people"
    )
    assert [bad for bad, _ in not_said() if not re.search(bad, slips)] == []


@pytest.mark.parametrize("name", NAMES)
def test_each_machine_has_its_caution(name: str) -> None:
    """Engines: the propeller. Hydraulics: the skin. A radial that is started again: hydraulic lock."""
    lesson = load_scenario(name)
    said = lesson.safety.lower()
    rig, bench = lesson.plant.rig, name == "two-fluids"  # that one runs on a bench, not on an engine
    if rig.startswith("hydraulic"):
        assert re.search("skin|inject", said)
    elif not bench:
        assert "propeller" in said
    if rig.startswith("radial") and _stops(lesson):
        assert "hydraulic lock" in said


@pytest.mark.parametrize("name", NAMES)
def test_hands_come_near_only_when_the_shaft_stands(name: str) -> None:
    """Handle and drain are touched with the speed at zero, by the timeline itself."""
    lesson = load_scenario(name)
    for line in lesson.timeline:
        if isinstance(line, TurnScraper | DrainBowl):
            assert _rpm_at(lesson, line.at_s) == 0.0, f"{name}: {line.set} at {line.at_s:g} s"


def _stops(lesson: Scenario) -> bool:
    return any(isinstance(line, SetRpm) and line.to == 0.0 for line in lesson.timeline)


def _rpm_at(lesson: Scenario, t_s: float) -> float:
    """The speed that the timeline asks for; while it still moves, the larger of the two ends."""
    rpm = lesson.start.rpm
    for line in lesson.timeline:
        if isinstance(line, SetRpm) and line.at_s <= t_s:
            rpm = max(rpm, line.to) if t_s < line.at_s + line.over_s else line.to
    return rpm
