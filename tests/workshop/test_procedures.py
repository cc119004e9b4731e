"""Procedures: what order, omissions and the hand lead to, on a machine with a state.

The steps and their consequences come from public maintenance documents named step by step in the files, or
are common practice without a source. Checked here: doing, leaving out, slipping and turning round have the
stated consequences, and every shipped file is whole.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from glasscan.content import BadInput
from glasscan.paths import asset
from glasscan.workshop.machine_data import machines_data
from glasscan.workshop.machine_state import INSIDE
from glasscan.workshop.procedures.job import Job, best_way, states_met
from glasscan.workshop.procedures.procedure_catalogue import (
    load_conditions,
    load_frame,
    load_procedure,
    procedure_names,
    read_procedure,
)
from glasscan.workshop.procedures.procedure_plan import Procedure
from glasscan.workshop.procedures.procedure_walk import GROUNDING, Act, Outcome, walk

NAMES = procedure_names()
FIVE = ("right-manual", "right-parts", "made-safe", "protected", "clean-tray")
FOUR = ("leak-check", "tools-count", "record", "release")


def ids(procedure: Procedure) -> list[str]:
    """The steps of the work done well, in an order that keeps every pair."""
    return list(procedure.best)


def without(name: str, *steps: str, present: tuple[str, ...] = ()) -> Outcome:
    """A procedure done well but for some steps."""
    procedure = load_procedure(name)
    return walk(procedure, [s for s in ids(procedure) if s not in steps], present)


def slipped(name: str, step: str) -> Outcome:
    """A procedure done well but for one step done in the common wrong way."""
    procedure = load_procedure(name)
    return walk(procedure, [Act(s, s == step) for s in ids(procedure)])


def moved(name: str, step: str, before: str) -> Outcome:
    """A procedure with one step moved to just before another."""
    order = [s for s in ids(load_procedure(name)) if s != step]
    order.insert(order.index(before), step)
    return walk(load_procedure(name), order)


def test_the_procedures() -> None:
    """All kinds of work of the trade list are there."""
    assert NAMES == (
        "can-change", "cartridge-change", "cut-open-inspection", "drain-refill", "hydraulic-filter-change",
        "leak-check", "oil-sample", "scraper-service", "stack-rebuild",
    )  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_done_well_leaves_nothing(name: str) -> None:
    """Every step done well and in order: no gate, nothing reversed, nothing left out, nothing left behind."""
    done = without(name)
    assert (done.gates, done.reversed, done.left_out, done.left) == ((), (), (), ())


@pytest.mark.parametrize("name", NAMES)
def test_nothing_done(name: str) -> None:
    """With no step done, what no state tells of is left; the machine is as it was, and no gate is broken."""
    done = walk(load_procedure(name), [])
    expected = {s.left_out for s in load_procedure(name).steps if s.left_out and s.only_if is None}
    assert set(done.conditions) == expected
    assert expected
    assert set(done.gates) == {
        f"{c.title}: {c.effect}" for c in load_conditions().values()
        if c.id in expected and (c.harms or c.id in GROUNDING)
    }  # fmt: skip
    assert done.unsafe == ()


@pytest.mark.parametrize("name", NAMES)
def test_every_step_is_explained(name: str) -> None:
    """Each step has a reason, a source and a status; what is FOUND names a document, what is not does not."""
    for step in load_procedure(name).steps:
        assert step.why, step.id
        vague = step.source.startswith(("common practice", "from memory"))
        assert vague == (step.status != "FOUND"), step.id


def test_filter_changes_start_and_end_alike() -> None:
    """The three changes have five gates before any hand touches the machine, and four ends."""
    for name in ("can-change", "cartridge-change", "hydraulic-filter-change"):
        procedure = load_procedure(name)
        assert procedure.gates == FIVE
        assert set(FOUR) <= set(ids(procedure))
        held = {(c.first, c.then) for c in procedure.critical}
        assert all(("made-safe", s.id) in held for s in procedure.steps if s.opens)


def test_conditions_are_all_used_and_all_known() -> None:
    """Every condition that a step names exists, and every one that exists can come about or be found."""
    used: set[str] = set()
    for step in (s for name in NAMES for s in load_procedure(name).steps):
        used |= {c for c in (step.slip_gives, step.left_out, step.only_if) if c}
        used |= set(step.mends) | (set(step.finds) - {"always"})
    used |= {t.gives for name in NAMES for t in load_procedure(name).tempting}
    used |= {c for s in (*load_frame().gates, *load_frame().ends) for c in (s.slip_gives, s.left_out) if c}
    for joint in machines_data().joints.values():
        used |= {joint.open_gives, joint.loose_gives, joint.bare_gives, joint.two_gives}
    used |= {gives for gives, _ in INSIDE.values()} | DERIVED
    assert set(load_conditions()) == used


DERIVED = {
    "seal-used-again", "seal-swollen", "dry-seal", "sealant-let-in", "joint-torn", "over-tight",
    "not-lockwired", "wired-wrong", "sump-empty", "low-oil", "wrong-oil", "bowl-empty",
    "oil-on-the-floor", "blade-bent",
    "tool-left", "spacer-missing", "spacer-doubled", "stack-short", "leak-not-seen", "finding-ignored",
    "person-hurt", "record-false", "record-thin", "old-gasket-on-head", "old-seal-in-groove",
}  # fmt: skip
"""Conditions that follow from the state of the machine alone."""


OLD = ("old-gasket-on-head",)


def test_the_old_gasket() -> None:
    """Found, it is told and gone; not looked for, it makes two gaskets; without one nothing comes of it."""
    found = without("can-change", present=OLD)
    assert (found.conditions, found.mended) == ((), OLD)
    assert "The old gasket was still on the head. It is off now." in found.findings
    missed = without("can-change", "find-gasket", present=OLD)
    assert missed.conditions == ("double-gasket",)
    assert missed.mended == ()
    assert load_conditions()["double-gasket"].onset == "at-pressure"
    assert without("can-change", "find-gasket").conditions == ()


def test_looking_for_the_gasket_too_late() -> None:
    """With the new filter on, nobody can reach the head: the look is refused, and the two gaskets stay."""
    order = [s for s in ids(load_procedure("can-change")) if s != "find-gasket"]
    order.insert(order.index("spin-on") + 1, "find-gasket")
    late = walk(load_procedure("can-change"), order, OLD)
    assert [(x.condition, x.how) for x in late.left] == [("double-gasket", "left out")]
    assert [r.step for r in late.refused] == ["find-gasket"]
    assert any("blow out in flight" in gate for gate in late.gates)
    assert "find-gasket" in late.left_out


@pytest.mark.parametrize(
    ("name", "step", "condition"),
    [
        ("can-change", "oil-gasket", "dry-seal"),
        ("can-change", "lockwire", "not-lockwired"),
        ("can-change", "leak-check", "leak-not-seen"),
        ("can-change", "close-drain", "drain-open"),
        ("can-change", "screen-in", "screen-open"),
        ("drain-refill", "new-washer", "drain-loose"),
        ("drain-refill", "fill-oil", "no-pressure-run-on"),
        ("cartridge-change", "old-ring-out", "double-seal"),
        ("cartridge-change", "oil-ring", "dry-seal"),
        ("cartridge-change", "cone", "nicked-ring"),
        ("cartridge-change", "fill-bowl", "bowl-empty"),
        ("cartridge-change", "element-in", "element-left-out"),
        ("hydraulic-filter-change", "dump-pressure", "person-hurt"),
        ("hydraulic-filter-change", "fill-bowl", "bowl-empty"),
        ("scraper-service", "turn-handle", "not-scraped"),
        ("scraper-service", "drain-bowl", "bowl-not-drained"),
        ("cut-open-inspection", "magnet", "debris-unread"),
        ("oil-sample", "flush-line", "false-sample"),
        ("leak-check", "clean-dry", "leak-misread"),
    ],
)
def test_left_out(name: str, step: str, condition: str) -> None:
    """What is left out leaves its own condition, whatever else follows from it."""
    done = without(name, step)
    assert condition in done.conditions
    if not done.refused and not done.hurt:
        # what a part left on the mat or a bowl not filled entails is named beside it
        assert set(done.conditions) - {condition} <= {"grommet-missing", "bowl-empty", "low-oil"}


@pytest.mark.parametrize(
    ("name", "step", "condition"),
    [
        ("can-change", "spin-on", "over-tight"),
        ("cartridge-change", "ring-in-groove", "nicked-ring"),
        ("cartridge-change", "element-in", "grommet-missing"),
        ("can-change", "fill-oil", "wrong-oil"),
        ("can-change", "close-drain", "seal-used-again"),
        ("can-change", "cut-wire", "joint-torn"),
        ("hydraulic-filter-change", "new-ring", "seal-used-again"),
        ("stack-rebuild", "on-a-rod", "spacer-missing"),
        ("hydraulic-filter-change", "low-then-full", "person-hurt"),
        ("scraper-service", "turn-handle", "partly-scraped"),
        ("cut-open-inspection", "roller-cut", "saw-swarf"),
        ("oil-sample", "same-point", "false-sample"),
        ("leak-check", "no-retighten", "over-tight"),
    ],
)
def test_slips(name: str, step: str, condition: str) -> None:
    """A step done in the common wrong way leaves the condition of that slip; it was done all the same."""
    done = slipped(name, step)
    assert condition in done.conditions
    assert next(x.how for x in done.left if x.condition == condition) == "slip"
    if done.machine.ended is None:
        assert done.left_out == ()


@pytest.mark.parametrize(
    ("name", "step", "before", "words"),
    [
        ("hydraulic-filter-change", "wire-off", "all-off", "Somebody may start the pump."),
        ("scraper-service", "drain-bowl", "isolate", "Hot oil under pressure burns."),
        ("hydraulic-filter-change", "lockwire", "leak-check", "TM 1-1500-204-23-2"),
        ("can-change", "drain-sump", "made-safe", "A propeller that turns kills."),
    ],
)
def test_gates(name: str, step: str, before: str, words: str) -> None:
    """A critical pair turned round is a gate with its reason."""
    assert any(words in gate for gate in moved(name, step, before).gates)


def test_a_gate_also_fails_where_its_first_step_was_never_done() -> None:
    """Opening without making safe breaks the gate although nothing is reversed."""
    done = without("can-change", "made-safe")
    assert done.reversed == ()
    assert any("Make the machine safe" in gate for gate in done.gates)
    assert "person-hurt" in done.conditions


STIFF = ("stiff-handle",)


def test_a_stiff_handle_is_obeyed() -> None:
    """Stop, tag, report: the rest is another job's, and nothing is held against the one who stopped."""
    way = best_way(Job(load_procedure("scraper-service"), 1, STIFF))
    assert way[-3:] == ("stop-and-tag", "tools-count", "record")
    done = walk(load_procedure("scraper-service"), way, STIFF)
    assert any("The handle is stiff" in f for f in done.findings)
    assert (done.gates, done.left_out, done.unsafe) == ((), (), ())
    assert "drain-bowl" in done.excused


def test_a_stiff_handle_is_ignored() -> None:
    """To the end without a word: a gate. With a tube over the handle: a bent blade."""
    on = without("scraper-service", present=STIFF)
    assert any(gate.startswith("Found and not acted on") for gate in on.gates)
    assert "finding-ignored" in on.conditions
    procedure = load_procedure("scraper-service")
    forced = walk(procedure, [Act(s, s == "feel") for s in ids(procedure)], STIFF)
    assert "blade-bent" in forced.conditions
    assert forced.hurt


@pytest.mark.parametrize("name", NAMES)
def test_every_finding_branches(name: str) -> None:
    """What waits in a job is answered by its best way, and held against every way that only goes on."""
    procedure = load_procedure(name)
    for state in states_met(procedure):
        best = walk(procedure, best_way(Job(procedure, 1, (state,))), (state,))
        assert (best.gates, best.refused, best.for_nothing) == ((), (), ())
        answered = any(state in a.found for a in procedure.answers)
        assert bool(walk(procedure, ids(procedure), (state,)).gates) == answered
    for step in procedure.answering:  # and an answer to nothing is one
        done = walk(procedure, [step])
        assert done.for_nothing == (step,)


def test_a_gate_only_where_the_act_was_done() -> None:
    """Stopping before the drain was touched does not spray hot oil on anybody."""
    done = without("scraper-service", "isolate", "drain-bowl", "turn-handle", "feel")
    assert not any("spray" in gate for gate in done.gates)


def test_a_slip_finds_nothing() -> None:
    """Looking at the filter only does not find the gasket on the head."""
    procedure = load_procedure("can-change")
    done = walk(procedure, [Act(s, s == "find-gasket") for s in ids(procedure)], OLD)
    assert (done.findings, done.mended) == (("The level reads 6.6 L.",), ())
    assert "double-gasket" in done.conditions


def test_what_nobody_mends_stays() -> None:
    """A condition that was there before and that no step mends is handed on, and it is to be reported."""
    metal = ("metal-in-element",)
    done = without("can-change", present=metal)
    assert set(done.conditions) == {"metal-in-element", "finding-ignored"}
    assert "Metal lies in the pleats of the old filter." in done.findings
    assert without("can-change", "cut-old", "pull-screen", present=metal).findings == (
        "The level reads 6.6 L.",
    )


def test_free_steps_may_change_places() -> None:
    """Two steps that no pair ties are right either way round."""
    assert moved("can-change", "check-new", "cut-wire").reversed == ()
    assert moved("can-change", "check-new", "cut-wire").gates == ()


@pytest.mark.parametrize("acts", [["fly"], ["spin-on", "spin-on"]])
def test_strange_acts_are_refused(acts: list[str]) -> None:
    """A step of another job, and one done twice, are errors that say what was expected."""
    with pytest.raises(ValueError, match="expected each step of can-change once"):
        walk(load_procedure("can-change"), acts)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("procedure: leak-check", "procedure: leakcheck", "expected the name of the file, 'leak-check'"),
        ("after: [clean-dry]", "after: [cleen-dry]", "no step 'cleen-dry' (did you mean 'clean-dry'?)"),
        (
            "left_out: leak-misread",
            "left_out: leak-misred",
            "no condition 'leak-misred' (did you mean 'leak-misread'?)",
        ),
        (
            "gates: [right-manual,",
            "gates: [right-manul,",
            "found 'right-manul' (did you mean 'right-manual'?)",
        ),
        (
            "first: clean-dry, then: look-lamp",
            "first: look-lamp, then: clean-dry",
            "the steps run in a circle",
        ),
        ("id: class,", "id: run-time,", "duplicate id 'run-time'"),
        ("status: FOUND", "status: SURE", "found text 'SURE'"),
    ],
)
def test_bad_files_are_told_by_line(tmp_path: Path, old: str, new: str, expected: str) -> None:
    """A mistake in a procedure file gives a line with place and nearest word."""
    text = asset("procedures", "leak-check.yaml").read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "leak-check.yaml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        read_procedure(path)
    assert expected in "\n".join(caught.value.lines)
    assert all(line.startswith(f"{path}:") for line in caught.value.lines)


def test_an_unknown_procedure_names_the_nearest() -> None:
    """A name that is not there is told with the nearest one."""
    with pytest.raises(BadInput, match="did you mean 'can-change'"):
        load_procedure("can-chang")


def test_a_tempting_thing_is_no_step_but_leaves_its_condition() -> None:
    """Sealing compound on the gasket: told as wrong, and left for the next run; the job stays complete."""
    procedure = load_procedure("can-change")
    done = walk(procedure, [*ids(procedure), "sealant-on"])
    assert [(x.condition, x.how) for x in done.left] == [("sealant-let-in", "wrong")]
    assert (done.gates, done.left_out) == ((), ())


def test_what_was_never_there_is_not_left() -> None:
    """Not looking at a sound new filter harms nobody; not looking at a bad one leaves it in the engine."""
    assert "bad-new-filter" not in without("can-change", "check-new").conditions
    missed = without("can-change", "check-new", present=("new-filter-was-bad",))
    assert missed.conditions == ("bad-new-filter",)
    found = without("can-change", present=("new-filter-was-bad",))
    assert (found.conditions, found.mended) == ((), ("new-filter-was-bad",))


def test_wire_and_leak_check_of_an_engine_are_free() -> None:
    """Approved data exist both ways for an engine, and wire hides no weep: no gate (common practice)."""
    for name in ("can-change", "cartridge-change"):
        assert moved(name, "lockwire", "first-run").gates == ()
        assert moved(name, "lockwire", "tools-count").gates == ()
