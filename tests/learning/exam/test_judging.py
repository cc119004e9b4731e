"""Marks of a paper, and their way into the store."""

from __future__ import annotations

from pathlib import Path

import pytest
from glasscan.learning.exam.exam_sitting import begin
from glasscan.learning.exam.paper_making import Order, make
from glasscan.learning.exam.paper_marking import Outcome, judge, keyed
from glasscan.learning.exam.store_marks import keep_marks
from glasscan.learning.store.results_files import Opening, Results, results_of
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem

from tests.learning.exam.exampaper import FullLog, scenario_file, small_paper


def sat(folder: Path, *lines: str) -> Results:
    """Results of Wen, who types one line for each question (an empty one leaves it)."""
    paper = small_paper(folder)[0]
    with Store(folder / "results.sqlite3") as store:
        exam = begin(store, store.person("Wen"), paper)
        for question, line in zip(paper.questions, lines, strict=True):
            if line:
                exam.give(question, line, 1.0)
        return results_of(store, exam.hand_in())


def judged(folder: Path, results: Results) -> Outcome:
    """Those results, marked against the run made by hand."""
    sources = small_paper(folder)[1]
    return judge(results, sources, keyed(sources, lambda _: FullLog()))


def test_marks_come_from_the_run(tmp_path: Path) -> None:
    """At 4 s the hand-made run has 83 kPa and its valve has cracked: 83 and that earn all 3 marks."""
    outcome = judged(tmp_path, sat(tmp_path, "83", "cracked"))
    assert (outcome.verdict.marks, outcome.verdict.out_of, outcome.verdict.passed) == (3.0, 3.0, True)
    assert [item.mark.key for item in outcome.results.items if item.mark] == ["83 kPa", "It left its seat."]


def test_a_wrong_number_is_marked_by_its_slip(tmp_path: Path) -> None:
    """283 kPa is the inlet gauge, not the difference: half of 2 marks; the other line earns 0."""
    outcome = judged(tmp_path, sat(tmp_path, "283", "seated"))
    assert (outcome.verdict.marks, outcome.verdict.passed) == (1.0, False)
    slips = [item.mark.slip for item in outcome.results.items if item.mark]
    assert slips == ["gauge (inlet) for differential", None]


def test_what_was_left_earns_nothing_and_counts(tmp_path: Path) -> None:
    """A question that was left is in the marked results with 0 of its marks, and its key."""
    outcome = judged(tmp_path, sat(tmp_path, "", "cracked"))
    assert (outcome.verdict.marks, outcome.verdict.out_of) == (1.0, 3.0)
    left = outcome.results.items[0]
    assert left.mark
    assert (left.prompt, left.given, left.mark.share, left.mark.out_of) == ("oil-morning/at-four", "", 0, 2)
    assert left.mark.key == "83 kPa"


def test_results_hold_no_key_before_marking(tmp_path: Path) -> None:
    """What is handed in has answers only."""
    results = sat(tmp_path, "1", "seated")
    text = results.model_dump_json(include={"items"})  # its random names may hold any digits
    assert [item.mark for item in results.items] == [None, None]
    assert [w for w in ("83", "left its seat", "cracked", "true_when") if w in text] == []


def test_results_of_another_paper_are_refused(tmp_path: Path) -> None:
    """A paper of the same name and seed that differs in anything is another one: its digest says so."""
    results = sat(tmp_path, "83", "cracked")
    longer = small_paper(tmp_path)[0].model_copy(update={"limit_s": 36_000.0})
    for other in (small_paper(tmp_path, 2)[0], longer):
        with pytest.raises(StoreProblem, match="another paper than week-3"):
            judged(tmp_path, results.model_copy(update={"digest": other.digest}))


def test_a_question_that_is_not_in_the_paper_is_refused(tmp_path: Path) -> None:
    """An answer to an unknown question is not passed over in silence."""
    results = sat(tmp_path, "83", "cracked")
    strange = results.items[0].model_copy(update={"prompt": "oil-morning/extra"})
    with pytest.raises(StoreProblem, match="'oil-morning/extra'"):
        judged(tmp_path, results.model_copy(update={"items": (*results.items, strange)}))


def test_an_answer_typed_into_the_file_by_hand(tmp_path: Path) -> None:
    """Text that is no answer at all earns nothing and says why; marking goes on."""
    results = sat(tmp_path, "83", "cracked")
    spoilt = results.items[0].model_copy(update={"given": "twelve"})
    outcome = judged(tmp_path, results.model_copy(update={"items": (spoilt, results.items[1])}))
    assert outcome.verdict.marks == 1.0
    assert outcome.told[0][1].reason.startswith("Not an answer to this question: expected a number")


JOB = """\
  - kind: order-the-steps
    id: job
    ask: Put the steps in order.
    steps: [{id: drain, text: Drain}, {id: open, text: Open}, {id: wipe, text: Wipe}]
    critical: [{first: drain, then: open, because: Hot oil runs out.}]
"""


@pytest.mark.parametrize(("line", "passed"), [("drain open wipe", True), ("open drain wipe", False)])
def test_a_gate_fails_a_full_score_and_is_in_the_results(tmp_path: Path, line: str, passed: bool) -> None:
    """A critical step out of order means 'not yet', with the gate beside the mark for the class page."""
    results = sat(tmp_path, "83", "cracked")
    path = scenario_file(tmp_path)
    path.write_text(path.read_text() + JOB)
    sources = make(Order("week-3", (str(path),), 1, 1.0, 0.5), lambda _: FullLog()).sources
    job = results.items[0].model_copy(update={"prompt": "oil-morning/job", "given": line})
    digest = sources.questions.digest
    full = results.model_copy(update={"items": (*results.items, job), "digest": digest})
    outcome = judge(full, sources, keyed(sources, lambda _: FullLog()))
    assert outcome.verdict.share >= 0.5
    assert outcome.verdict.passed is passed
    mark = outcome.results.items[-1].mark
    assert mark
    assert bool(mark.gates) is not passed


def test_breaks_are_told_by_length_and_kind(tmp_path: Path) -> None:
    """Opened three times, away 30 s and 95 min; a record changed and a calendar set are told too."""
    results = sat(tmp_path, "83", "cracked")
    assert judged(tmp_path, results).away == ""
    events = [("opened", 0.0), ("left", 0.0), ("opened", 30.0), ("altered", 0.0), ("clock-set", 0.0)]
    openings = tuple(
        Opening(what=what, at_utc="2031-03-01T09:00:00+00:00", away_s=s)  # type: ignore[arg-type]
        for what, s in [*events, ("opened", 5700.0)]
    )
    told = judged(tmp_path, results.model_copy(update={"openings": openings})).away
    assert "opened 3 times, away 30 s, 95 min of a limit of 1 min" in told
    assert "changed with another program" in told
    assert "calendar of its computer was set" in told


def test_marks_go_to_the_store_where_it_was_sat(tmp_path: Path) -> None:
    """The sitting's own store takes the marks; another store, or other answers, takes nothing."""
    results = sat(tmp_path, "83", "")
    outcome = judged(tmp_path, results)
    with Store(tmp_path / "results.sqlite3") as store, Store(tmp_path / "other.sqlite3") as other:
        assert keep_marks(store, outcome)
        assert not keep_marks(other, outcome)
        assert [r["share"] for r in store.rows("SELECT share FROM marks")] == [1.0]
        changed = results.items[0].model_copy(update={"given": "84"})
        forged = judged(tmp_path, results.model_copy(update={"items": (changed,)}))
        assert not keep_marks(store, forged)
