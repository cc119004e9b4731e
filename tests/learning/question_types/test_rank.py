"""Readings in order of size: one file makes a type that is checked, put, typed, marked and shown.

The order asked for is physics: oil flows towards lower pressure, so along the line pump, filter inlet, filter
outlet no later gauge reads higher than an earlier one (any text on fluid flow; common practice, no source).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pygame
import pytest
import yaml
from glasscan.cli.main import main
from glasscan.learning.exam.answer_codec import as_answer, read_line, shown_lines
from glasscan.learning.prompts import asked, mark
from glasscan.learning.scenario_loading import load_scenario
from glasscan.window.questions.answer_form import AnswerForm
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.lesson_cards import card_of, line_of, said

from tests.learning.handmade import HandLog
from tests.learning.playing import run_of

END = {"of": "value-at-end"}
PROMPT = {
    "kind": "rank-the-readings",
    "id": "down-the-line",
    "ask": "At the end of the run, which reads most? Put the highest first.",
    "items": [
        {"id": "across", "text": "Across the filter", "quantity": END | {"trace": "dp_kpa"}},
        {"id": "inlet", "text": "Filter inlet", "quantity": END | {"trace": "inlet_kpa"}},
        {"id": "outlet", "text": "Filter outlet", "quantity": END | {"trace": "outlet_kpa"}},
    ],
}  # fmt: skip


@pytest.fixture
def lesson(tmp_path: Path) -> Path:
    """A lesson of an author's own that asks it."""
    shipped = Path(__file__).parents[3] / "scenarios" / "cold-start.yaml"
    data = yaml.safe_load(shipped.read_text("utf-8"))
    data |= {"scenario": "ranking", "prompts": [PROMPT]}
    file = tmp_path / "ranking.yaml"
    file.write_text(yaml.safe_dump(data, sort_keys=False), "utf-8")
    return file


def test_check_knows_it(lesson: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`glasscan check` takes the lesson, and refuses a time among pressures with its line."""
    assert main(["check", str(lesson)]) == 0
    data = yaml.safe_load(lesson.read_text("utf-8"))
    data["prompts"][0]["items"][1]["quantity"] = {"of": "event-time", "event": "bypass-cracks"}
    lesson.write_text(yaml.safe_dump(data, sort_keys=False), "utf-8")
    assert main(["check", str(lesson)]) == 2
    assert "expected a reading of pressure, as the first one is" in capsys.readouterr().err


def test_the_schema_offers_it(capsys: pytest.CaptureFixture[str]) -> None:
    """An editor completes the kind."""
    assert main(["schema"]) == 0
    told = capsys.readouterr().out
    assert "RankReadings" in json.loads(told)["$defs"]
    assert "rank-the-readings" in told


def test_typed_and_marked_on_the_run(lesson: Path) -> None:
    """Inlet over outlet over the difference between them, as the model runs it; a reversal earns 2 of 3."""
    scenario = load_scenario(lesson)
    log = run_of(scenario, 60.0)
    prompt = scenario.prompts[0]
    shown = asked(prompt, scenario, None, "salt")
    by_id = {name: "abc"[i] for i, (name, _) in enumerate(shown.choices)}
    assert shown_lines(shown)[-1].startswith("The letters in order")
    typed = read_line(shown, " ".join(by_id[n] for n in ("inlet", "outlet", "across")))
    assert typed == "inlet outlet across"
    assert mark(prompt, as_answer(shown, typed), log, shown).share == 1.0
    wrong = mark(prompt, ("outlet", "inlet", "across"), log, shown)
    assert wrong.share == pytest.approx(2 / 3)
    assert "Filter inlet (" in wrong.reason


def test_alike_readings_may_change_places() -> None:
    """The hand-made run ends at 350, 300 and 50 kPa: a margin of 50 kPa lets the first two change places."""
    from glasscan.learning.prompt_schema import Prompt
    from pydantic import TypeAdapter

    adapter: TypeAdapter[Any] = TypeAdapter(Prompt)
    for alike, share in ((49.0, 2 / 3), (50.0, 1.0)):
        prompt = adapter.validate_python(PROMPT | {"alike": alike})
        given = mark(prompt, ("outlet", "inlet", "across"), HandLog())
        assert given.share == pytest.approx(share)


def test_answered_in_the_window(lesson: Path) -> None:
    """Digits put the lines in order; the answer is kept as the typed line is and told in words."""
    scenario = load_scenario(lesson)
    shown = asked(scenario.prompts[0], scenario, None, "salt")
    sheet = AnswerSheet([card_of(shown)])
    form = AnswerForm(sheet)
    order = [[name for name, _ in shown.choices].index(n) + 1 for n in ("inlet", "outlet", "across")]
    for digit in order:
        event = pygame.event.Event(pygame.KEYDOWN, key=pygame.K_0 + digit, unicode=str(digit), mod=0)
        assert form.key(event, None)  # type: ignore[arg-type]
    assert read_line(shown, line_of(sheet)) == "inlet outlet across"
    assert said(sheet) == "Filter inlet; Filter outlet; Across the filter"
