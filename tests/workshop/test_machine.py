"""The state of a machine: what it refuses, what happens at once, and books that close whatever is done.

Torque windows and volumes are training values of an invented machine; 6 to 8 twists per inch and "the pull
tightens" are AC 43.13-1B ch. 7. Random ways are drawn from a seed.
"""

from __future__ import annotations

import numpy as np
import pytest
from glasscan.learning.catalogue import load_plant
from glasscan.learning.manual import manual_line
from glasscan.window.bench.job_marks import mark
from glasscan.workshop.machine import BadChoiceError, CannotError, machine_before
from glasscan.workshop.machine_acts import act
from glasscan.workshop.machine_data import machines_data
from glasscan.workshop.machine_run import leak_of
from glasscan.workshop.machine_state import derived
from glasscan.workshop.procedures.job import Job, best_way, states_met
from glasscan.workshop.procedures.procedure_catalogue import load_procedure, procedure_names
from glasscan.workshop.procedures.procedure_walk import choices
from glasscan.workshop.stack_pieces import height_mm, right_lay, short_lay

ALL = [(n, k) for n in procedure_names() for k in load_procedure(n).filters]
NONE: dict[str, str] = {}


def after(kind: str, *words: str, begins: str = "stopped", **chosen: str):
    """A machine after some acts."""
    m = machine_before(kind, begins)
    for one in words:
        m = act(m, one, chosen)
    return m


SAFE = ("safe", "protect", "count-out")


def test_volumes_are_those_of_the_rigs() -> None:
    """Sump volumes are those of the plants that the next run is made with."""
    for kind, plant in (("can", "piston-single"), ("cartridge", "piston-single")):
        data = load_plant(plant)
        assert machines_data().machines[kind].sump_l == data.sump.volume_l
        assert data.sump.unport_l == pytest.approx(0.2 * data.sump.volume_l)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ((*SAFE, "open drain"), "lockwire still holds"),
        (("take old-filter from=filter",), "closed: nothing inside"),
        ((*SAFE, "unwire filter", "open filter", "fit new-filter in=filter"), "old filter is still in"),
        ((*SAFE, "unwire filter", "open filter", "close filter"), "no new filter"),
        ((*SAFE, "unwire drain", "open drain", "wire drain"), "nothing to wire"),
        (("fill filter",), "dome up"),
        (("look-leaks",), "has not run"),
        (("count",), "Nothing was counted out"),
    ],
)  # fmt: skip
def test_the_machine_refuses(words: tuple[str, ...], says: str) -> None:
    """What cannot be done is refused in one line."""
    with pytest.raises(CannotError, match=says):
        after("can", *words)


@pytest.mark.parametrize(
    ("kind", "begins", "words", "says"),
    [
        ("hydraulic", "charged", ("unwire bowl", "open bowl"), "loosened at 20,700 kPa"),
        ("hydraulic", "charged", ("feel-leak joint",), "skin"),
        ("can", "running", ("unwire filter", "open filter"), "running machine"),
        ("disc", "running", ("hand handle",), "propeller"),
        ("can", "running", ("look-leaks",), "propeller"),
    ],
)
def test_where_somebody_would_be_hurt_the_work_ends(kind, begins, words, says) -> None:
    """Pressure, jets and propellers end the work with the reason."""
    ended = after(kind, *words, begins=begins).ended
    assert ended is not None
    assert says in ended


def test_oil_goes_where_it_is_let() -> None:
    """Poured into a sump with its drain open it is on the floor, and a start then finds no oil."""
    m = after("can", *SAFE, "unwire drain", "open drain", "drain drain", "fill sump")
    assert m.oil_l["floor"] == pytest.approx(7.5)
    assert m.hurt
    ran = act(m, "run", NONE)
    assert "open" in ran.hurt[-1]
    assert not ran.ran


@pytest.mark.parametrize(
    ("torque", "condition", "leak"),
    [
        ("5", "loose-filter", 2),
        ("15", "loose-filter", 1),
        ("23", None, 0),
        ("40", "over-tight", 0),
        ("70", "joint-torn", 2),
    ],
)
def test_torque_follows_into_the_state(torque: str, condition: str | None, leak: int) -> None:
    """Below the window it weeps or drips, above it is too tight, past the limit it tears."""
    words = (*SAFE, "unwire filter", "open filter", "take old-filter from=filter", "lube filter")
    m = after("can", *words, "fit new-filter in=filter")
    m = act(m, "close filter", {"torque": torque})
    assert leak_of(m, "filter") == leak
    found = {d.condition for d in derived(m)} - {"not-lockwired", "leak-not-seen", "low-oil"}
    assert found == ({condition} if condition else set())


@pytest.mark.parametrize(
    ("joint", "lubricant", "condition"),
    [
        ("filter", "dry", "dry-seal"),
        ("filter", "bench-grease", None),
        ("filter", "penetrant", "seal-swollen"),
        ("filter", "sealant", "sealant-let-in"),
        ("bowl", "assembly-grease", None),
        ("bowl", "bench-grease", "seal-swollen"),
    ],
)
def test_lubricant_follows_into_the_state(joint: str, lubricant: str, condition: str | None) -> None:
    """Grease does not make a seal dry; what is wrong is what swells its compound or gets into the oil."""
    if joint == "filter":
        words = ("unwire filter", "open filter", "take old-filter from=filter", "lube filter")
        words += ("fit new-filter in=filter", "close filter")
    else:
        words = ("unwire bowl", "open bowl", "ring-out bowl", "lube bowl", "ring-in bowl", "close bowl")
    m = after("can" if joint == "filter" else "cartridge", *SAFE, *words, **{"with": lubricant})
    found = {d.condition for d in derived(m)} - {"not-lockwired", "leak-not-seen", "low-oil", "bowl-empty"}
    assert found == ({condition} if condition else set())


@pytest.mark.parametrize(
    ("pull", "twists", "wire"),
    [
        ("tightens", "7", "right"),
        ("loosens", "7", "wrong-way"),
        ("tightens", "3", "slack"),
        ("tightens", "12", "brittle"),
    ],
)
def test_lockwire(pull: str, twists: str, wire: str) -> None:
    """The pull tightens, with 6 to 8 twists to the inch (AC 43.13-1B ch. 7)."""
    m = act(machine_before("can"), "unwire drain", NONE)
    m = act(m, "wire drain", {"pull": pull, "twists": twists})
    assert m.joints["drain"].wire == wire


@pytest.mark.parametrize("hole", ["12", "2", "4", "6", "8", "10"])
def test_the_hole_says_which_way_the_wire_pulls(hole: str) -> None:
    """Moment r x F of a pull to the right; a right-hand thread tightens clockwise."""
    angle = np.radians(90.0 - 30.0 * int(hole))
    moment = np.cross([np.cos(angle), np.sin(angle), 0.0], [1.0, 0.0, 0.0])[2]  # negative is clockwise
    m = act(machine_before("can"), "unwire drain", NONE)
    m = act(m, "wire drain", {"hole": hole, "twists": "7"})
    assert m.joints["drain"].wire == ("right" if moment < 0.0 else "wrong-way")


@pytest.mark.parametrize("chosen", [{"hole": "3"}, {"hole": "12", "pull": "loosens"}])
def test_a_hole_that_is_none(chosen: dict[str, str]) -> None:
    """A head has six holes, and a hole pulls one way."""
    m = act(machine_before("can"), "unwire drain", NONE)
    with pytest.raises(BadChoiceError, match="hole:"):
        act(m, "wire drain", chosen)


@pytest.mark.parametrize("chosen", [{"torque": x} for x in ("tight", "-3", "nan", "1e9")])
def test_a_hand_cannot_choose_that(chosen: dict[str, str]) -> None:
    """A torque that is no number of a wrench is an error in one line, not a refusal of the machine."""
    m = after("can", *SAFE, "unwire drain", "open drain")
    with pytest.raises(BadChoiceError, match="torque: expected"):
        act(m, "close drain", chosen)


@pytest.mark.parametrize(("name", "kind"), ALL)
def test_the_best_way_of_every_job(name: str, kind: str) -> None:
    """Played to its end with everything that may wait in it: full marks, nothing refused, nothing open."""
    procedure = load_procedure(name, kind)
    for present in ((), *((s,) for s in states_met(procedure)), states_met(procedure)):
        job = Job(procedure, 1, present)
        for step in best_way(job):
            job.do(step)
        marks = mark(job)
        assert (marks.verdict.share, marks.verdict.gates) == (1.0, ())
        assert job.outcome().unsafe == ()
        closed(job)


@pytest.mark.parametrize(("name", "kind"), ALL)
def test_every_common_wrong_way(name: str, kind: str) -> None:
    """Each wrong way and each tempting thing alone: never a crash, never full marks."""
    procedure = load_procedure(name, kind)
    wrong = [s.id + ":slip" for s in procedure.steps if s.slip] + list(procedure.traps)
    for card in wrong:
        job = Job(procedure, 1, ())
        way = [card if s == card.removesuffix(":slip") else s for s in best_way(job)]
        if card in procedure.traps:
            way.insert(way.index(procedure.traps[card].near), card)
        for step in way:
            play(job, step)
        assert mark(job).verdict.share < 1.0, card
        closed(job)


def play(job: Job, card: str, chosen: dict[str, str] | None = None) -> None:
    """Do a card; what the machine refuses stays undone."""
    try:
        job.do(card, chosen)
    except CannotError:
        assert job.refused


def closed(job: Job) -> None:
    """No oil and no part comes from nowhere or is lost."""
    m = job.outcome().machine
    before = machine_before(job.procedure.machine_kind, job.procedure.begins)
    assert sum(m.oil_l.values()) == pytest.approx(sum(before.oil_l.values()))
    assert min(m.oil_l.values()) >= 0.0
    assert set(m.parts) == set(before.parts)


CHOSEN = {
    "torque": ("3", "15", "23", "33", "45", "80"),
    "with": tuple(x.id for x in machines_data().lubricants),
    "pull": ("tightens", "loosens"),
    "twists": ("2", "7", "15"),
    "litres": ("0", "2", "8"),
    "lay": ("d+30*sbd", "d+60*sbd", "d", "ddd", "d+59*sbd+bd"),
}


@pytest.mark.parametrize(("name", "kind"), ALL)
def test_random_ways(name: str, kind: str) -> None:
    """Any card in any order with any choice: no crash, books closed, no marks for an unsafe state."""
    for seed in range(5):
        random = np.random.default_rng([seed, 77])
        job = Job(load_procedure(name, kind), seed)
        best = best_way(job)
        for _ in range(int(random.integers(3, 60))):
            cards = job.left_over()
            if not cards or job.ended:
                break
            due = next((s for s in best if s in {c.id for c in cards}), cards[0].id)
            card = due if random.random() < 0.6 else cards[int(random.integers(len(cards)))].id
            step = job.procedure.by_id.get(card)
            keys = choices(step) if step and random.random() < 0.5 else ()
            play(job, card, {k: str(random.choice(CHOSEN[k])) for k in keys if k in CHOSEN})
        outcome, marks = job.outcome(), mark(job)
        closed(job)
        if outcome.unsafe or outcome.hurt:
            assert marks.verdict.share == 0.0
        if outcome.gates:
            assert not marks.verdict.passed
        if job.acts:
            assert bool(derived(outcome.machine)) or outcome.unsafe == ()


@pytest.mark.parametrize(
    ("joint", "line"),
    [
        ("filter", "piston.torque-spin-on"),
        ("bowl", "piston.torque-bowl-bolt"),
        ("drain", "piston.torque-drain"),
        ("screen", "piston.torque-drain"),
        ("cover", "radial.torque-cover"),
    ],
)
def test_torques_are_those_of_the_invented_manual(joint: str, line: str) -> None:
    """The sheet in the hand and the manual of the lessons say the same."""
    found = manual_line(line)
    assert machines_data().joints[joint].torque_nm[:2] == (found.value, found.up_to)


def test_wire_and_stack_are_those_of_the_invented_manual() -> None:
    """Diameter and twists; one spacer less is more than the tolerance of the pack."""
    wire, right = machines_data().wire, right_lay()
    twists = manual_line("piston.lockwire-twists")
    assert wire.twists_per_inch == (twists.value, twists.up_to)
    assert wire.diameter_mm == manual_line("piston.lockwire-diameter").value
    tolerance = manual_line("radial.pack-tolerance").value
    assert abs(height_mm(right) - height_mm(short_lay())) > tolerance  # one spacer less is seen


ASKED = (
    "right-manual,right-parts,made-safe,protected,clean-tray,drain-sump,cut-wire,break-loose,unscrew,find-gasket,"
    "look-face,check-new,oil-gasket,spin-on,fill-oil,first-run,leak-check,lockwire,dip-again,cut-old,tools-count,"
    "record,release"
)


@pytest.mark.parametrize(
    ("steps", "says"),
    [
        (ASKED, "Drain left open"),
        (ASKED.replace("unscrew,", "unscrew,warm-run,"), "open. The oil is on the floor"),
        (ASKED.replace("spin-on,", "spin-on,close-drain,wire-drain,").replace("fill-oil,", ""), "ran dry"),
        (
            ASKED.replace("unscrew,", "unscrew,leak-check,").replace("first-run,leak-check", "first-run"),
            "open",
        ),
    ],
)
def test_dangerous_orders_do_not_pass(steps: str, says: str) -> None:
    """An open sump, a run without filter or without oil, a look too early: none of them passes."""
    job = Job(load_procedure("can-change"), 1, ())
    for step in steps.split(","):
        play(job, step)
    verdict = mark(job).verdict
    assert not verdict.passed
    assert verdict.share == 0.0
    assert any(says in gate for gate in verdict.gates)
