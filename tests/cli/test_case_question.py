"""A case inside a paper, sat in text: results come line by line, and every test bought is on the disk."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from glasscan.cli.exam_sitting import Conversation
from glasscan.cli.talk import Talk
from glasscan.learning.exam.exam_sitting import begin
from glasscan.learning.exam.paper_making import Order, make
from glasscan.learning.store.store import Store

from tests.cli.exam_files import typed
from tests.learning.playing import shipped_run


def test_a_case_is_sat_line_by_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A test shows its result and keeps the question open; the verdict goes on to the next one."""
    made = make(Order("week-9", ("three-low-readings",), 1, 10.0), lambda s: shipped_run(s.scenario))
    place = next(i for i, q in enumerate(made.paper.questions, 1) if q.asked.form == "case")
    case = made.paper.questions[place - 1].asked
    gauge = next(t for t in case.tests if t.word == "second-gauge")
    lines = [f":go {place}", "test second-gauge", "think F23a F23b F35a", "test second-gauge", "verdict F35a"]
    typed(monkeypatch, *lines)
    out = io.StringIO()
    with Store(tmp_path / "results.sqlite3") as store:
        exam = begin(store, store.person("Wen"), made.paper)
        Conversation(Talk(out), exam).hold()
        kept = [r["given"] for r in store.rows("SELECT given FROM answers ORDER BY id")]
    assert kept == [
        "think:F23a think:F23b think:F35a",
        "think:F23a think:F23b think:F35a test:second-gauge",
        "think:F23a think:F23b think:F35a test:second-gauge verdict:F35a",
    ]
    said = out.getvalue()
    assert "say what you hold possible before the first test" in said
    before, _, after = said.partition("kept: think:F23a think:F23b think:F35a test:second-gauge\n")
    assert gauge.result not in before
    assert gauge.result in after
    assert f"{gauge.minutes:g} min spent" in after
    assert f"Question {place + 1} of" in after
