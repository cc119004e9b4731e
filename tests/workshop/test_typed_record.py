"""The record as typed, at the command: held against the machine, whose truth the test knows by what it did.

What a record holds is common practice, no source. Its references are lines of the invented manual.
"""

from __future__ import annotations

import pytest
from glasscan.learning.manual import manual_line
from glasscan.workshop.machine_data import machines_data
from glasscan.workshop.procedures.job import Job, best_way
from glasscan.workshop.procedures.procedure_catalogue import load_procedure

from tests.workshop.test_random_ways import done

GOOD = {
    "answer": "done", "hours": "1246.3", "part": "ORX-114", "wrench": "24",
    "reference": "piston.torque-spin-on", "leak": "done", "tools": "all-there",
    "waste": "drums", "second": "inspected", "who": "JK",
}  # fmt: skip


def after(but: tuple[str, ...] = (), instead: dict[str, str] | None = None, **entry: str):
    """A can change with the wrench at 24 N m, some steps left out, and this record."""
    way = [s for s in best_way(Job(load_procedure("can-change"), 1, ())) if s not in but]
    typed = {k: v for k, v in {**GOOD, **entry}.items() if v}
    words = {"spin-on": "spin-on:torque=24", "record": ":".join(["record", *map("=".join, typed.items())])}
    words |= instead or {}
    return done("can-change", "can", (), [words.get(s, s) for s in way])


def left(result) -> set[str]:
    """Conditions that it leaves."""
    return {x["condition"] for x in result["left"]}


def test_a_true_record_has_full_marks() -> None:
    """Every field as it was done."""
    result = after()
    assert (result["share"], result["passed"]) == (1.0, True)
    assert result["record"]["as_written"] == GOOD


@pytest.mark.parametrize(
    ("field", "word"),
    [
        ("answer", "stopped"), ("hours", "1264.3"), ("part", "ORX-141"), ("wrench", "30"),
        ("reference", "piston.torque-drain"), ("leak", "not-done"), ("tools", "not-counted"),
        ("waste", "open"),
        ("second", "not-called"),
    ],
)  # fmt: skip
def test_an_untrue_line_holds_the_release(field: str, word: str) -> None:
    """Nothing passes with a record that says something else than what was done."""
    result = after(**{field: word})
    assert "record-false" in left(result)
    assert not result["passed"]


@pytest.mark.parametrize(
    ("step", "field"),
    [("leak-check", "leak"), ("waste-drums", "waste"), ("second-look", "second"), ("tools-count", "tools")],
)
def test_what_was_not_done_cannot_be_written_as_done(step: str, field: str) -> None:
    """The same record is untrue where the work behind it was left out; the honest one is not."""
    honest = {"leak": "not-done", "waste": "open", "second": "not-called", "tools": "not-counted"}[field]
    assert "record-false" in left(after(but=(step,)))
    assert "record-false" not in left(after(but=(step,), **{field: honest}))


def test_a_gap_costs_care_and_is_named() -> None:
    """A blank is no lie: the job passes, and marks are lost."""
    result = after(who="")
    assert result["passed"]
    assert result["share"] < 1.0
    assert any("written by" in text for text in result["findings"])


def test_a_loose_joint_told_as_it_is_stays_loose() -> None:
    """The honest number does not make it right; that of the sheet makes it a lie."""
    loose = {"spin-on": "spin-on:torque=12"}
    assert left(after(instead=loose, wrench="12")) >= {"loose-filter"}
    assert "record-false" not in left(after(instead=loose, wrench="12"))
    assert "record-false" in left(after(instead=loose, wrench="24"))


def test_references_are_lines_of_the_manual() -> None:
    """Each joint's line exists and gives its torque."""
    for joint in machines_data().joints.values():
        if joint.line:
            line = manual_line(joint.line)
            assert (line.value, line.up_to) == joint.torque_nm[:2]
