"""Help for a price during a case, and what is told after it: own path, reference, belief, score, ghost."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from glasscan.content import BadInput
from glasscan.faults.fault_data import faults, parts_of
from glasscan.learning.cases.case_files import read, save
from glasscan.learning.cases.case_play import (
    CANNOT_TELL,
    HELP_PRICE,
    Case,
    RefusedError,
    field_of,
    help_spent,
)
from glasscan.learning.cases.debrief import beliefs_after, debrief, ghost_of, hint, look_alikes, tell_apart
from glasscan.learning.cases.generate import generate, short_list
from glasscan.learning.cases.likelihood import log_likelihood

from tests.learning.cases.test_playing import played, runnable_seed


@pytest.fixture
def case() -> Case:
    """A fresh case that may be run."""
    return Case.begin(runnable_seed(), "can", 2)


@cache
def double_seed() -> int:
    """A seed whose case has two faults at level 3."""
    return next(seed for seed in range(200) if generate(seed, "can", level=3).second)


def test_before_the_verdict_nothing_is_told(case: Case) -> None:
    """Neither belief nor ghost nor debrief."""
    for closed in (debrief, beliefs_after, ghost_of):
        with pytest.raises(RefusedError, match="not over"):
            closed(case)


def test_the_reference_path_needs_no_remark() -> None:
    """Played as the reference plays: same curve, no hint paid, no remark on any test."""
    told = debrief(played(runnable_seed()))
    assert told.own_curve == told.reference_curve
    assert [step.test for step in told.own] == [step.test for step in told.reference]
    assert told.help_cost == 0.0
    assert not told.remarks


def test_curves_are_beliefs(case: Case) -> None:
    """Each moment's beliefs sum to one, minutes are those spent, and the true fault has a line."""
    case.think(["F06"])
    case.order("read-log")
    case.order("part-number")
    case.decide(CANNOT_TELL)
    told = debrief(case)
    rows = np.array(list(told.own_curve.beliefs.values()))
    assert rows.sum(axis=0) == pytest.approx(1.0)
    assert told.own_curve.minutes == (0.0, 5.0, 10.0)
    assert told.own_curve.strongest(3, (told.fault,))[0] == told.fault
    assert beliefs_after(case) == told.own_curve


def test_a_dear_test_that_tells_nothing_is_remarked_on(case: Case) -> None:
    """Days of work for the bearings first: the debrief names the test and what would have told more."""
    case.think(["F25"])
    case.act("release")
    case.order("bearing-clearance")
    case.decide(CANNOT_TELL)
    told = debrief(case)
    assert any("2400 min" in line for line in told.remarks)
    assert told.own[0].best_rate > told.own[0].rate


def test_a_hint_costs_its_price(case: Case) -> None:
    """Three rungs at level 2: the third names the reference's next test; all are taken off the score."""
    told = [hint(case, rung) for rung in (1, 2, 3)]
    first = debrief(played(case.seed)).reference[0].test
    assert [one.price for one in told] == [HELP_PRICE[f"hint-{rung}"] for rung in (1, 2, 3)]
    assert told[2].test == first
    assert (told[0].text, told[1].text) == (case.menu[first].area, case.menu[first].principle)
    case.decide(CANNOT_TELL)
    assert debrief(case).review.score.parts["hints"] == pytest.approx(-0.1)


def test_help_by_level() -> None:
    """Free at level 1, for a price at level 2, none at level 3."""
    seed = runnable_seed()
    spent = []
    for level in (1, 2):
        case = Case.begin(seed, "can", level)
        hint(case, 1)
        look_alikes(case)
        spent.append(help_spent(case))
    assert spent == [0.0, pytest.approx(0.05)]
    with pytest.raises(RefusedError, match="no help"):
        hint(Case.begin(seed, "can", 3), 1)


def test_look_alikes_follow_the_readings(case: Case) -> None:
    """With the complaint alone several faults give the picture; a telling test leaves fewer of them."""
    before = {one.code for one in look_alikes(case)}
    path = debrief(played(case.seed)).reference
    case.think(["F06"])
    for step in path:
        needs = case.menu[step.test].needs
        case.act("start" if needs == "running" else "stop")
        if needs == "open":
            case.act("release")
        case.order(step.test)
    after = {one.code for one in look_alikes(case)}
    assert len(after) <= len(before)
    assert max(path[-1].beliefs, key=path[-1].beliefs.get) in after


def test_mirror_patterns_are_parted_by_the_pattern(case: Case) -> None:
    """A worn bearing against a weak regulator: the pressure pattern or a gauge parts them (trade table)."""
    told = [one.test for one in tell_apart(case, "F25", "F23b")][:4]
    assert {"pressure-pattern", "second-gauge"} & set(told)
    assert not tell_apart(case, "F06", "F06")


def test_fewer_suspects_at_the_first_level(case: Case) -> None:
    """Eight suspects, the fault among them, in order of the code; all at level 2, double ones at 3."""
    easy, hard = Case.begin(case.seed, "can", 1), Case.begin(case.seed, "can", 3)
    assert len(easy.suspects) == 8
    assert list(easy.suspects) == sorted(easy.suspects)
    assert case.hidden.code in easy.suspects
    assert set(easy.suspects) < set(case.suspects) < set(hard.suspects)
    assert all("+" not in code for code in case.suspects)
    assert any("+" in code for code in hard.suspects)
    assert easy.suspects == short_list(easy.hidden)


def test_same_fault_at_every_level() -> None:
    """The first fault of a seed is the same at all levels, also where a second one joins it."""
    seed = double_seed()
    first, both = generate(seed, "can"), generate(seed, "can", level=3)
    assert first.fault == both.fault
    assert first.severity == both.severity
    assert both.code.count("+") == 1
    assert both.fault.fault in both.code


def test_a_double_fault_is_named_by_both(tmp_path: Path) -> None:
    """Both in any order: full credit; one of them: half; the ghost mends both."""
    seed = double_seed()
    code = generate(seed, "can", level=3).code
    one, other = code.split("+")
    scores = []
    for verdict in (f"{other}+{one}", one):
        case = Case.begin(seed, "can", 3)
        case.decide(verdict.lower())
        told = debrief(case)
        scores.append(told.review.score.parts["correct"])
        assert told.fault == code
        assert told.title == " and ".join(fault.title for fault in parts_of(code))
    assert scores == [0.5, 0.25]
    case = Case.begin(seed, "can", 3)
    save(case, tmp_path / "case.json")
    text = (tmp_path / "case.json").read_text(encoding="utf-8")
    assert code not in text
    assert faults()[one].word not in text


def test_the_ghost_runs_beside_the_rig() -> None:
    """A case over: the same cold start with and without its fault; the healthy one comes to pressure."""
    case = Case.begin(runnable_seed(), "can", 2)
    case.decide(CANNOT_TELL)
    told = ghost_of(case, 0.0, 12.0, 3.0)
    assert len(told.times_s) == 5
    assert told.with_fault.keys() == told.without.keys()
    assert told.without["gauge"][-1] > 300.0


def test_help_in_a_file_keeps_its_price(case: Case, tmp_path: Path) -> None:
    """Saved with its price, read back; a price made smaller by hand is refused."""
    hint(case, 3)
    path = tmp_path / "case.json"
    save(case, path)
    assert help_spent(read(path)) == HELP_PRICE["hint-3"]
    path.write_text(path.read_text(encoding="utf-8").replace("0.05", "0.0"), encoding="utf-8")
    with pytest.raises(BadInput, match="price"):
        read(path)


def test_suspects_are_those_believed(case: Case) -> None:
    """Beliefs before any test are over the suspects of the case and no others."""
    tests = field_of(case)
    assert tests.suspects == case.suspects
    assert tests.prior.sum() == pytest.approx(1.0)


def test_the_short_list_does_not_single_out_the_fault() -> None:
    """Whoever reckons with what was noted is hardly more often right for having read the list.

    The fault is the best fit of its list in about as many cases as it is the best of all suspects, and the
    complaint alone does not settle a case: in one of eight at least something else fits better.
    """
    in_list, of_all, places = 0, 0, set()
    for kind in ("can", "cartridge", "disc"):
        for seed in range(30):
            case = Case.begin(seed, kind, 1)
            every = field_of(case)
            chance = log_likelihood(every.complaint, case.noted).max(axis=1)
            fits = dict(zip(every.atlas.suspects, chance.tolist(), strict=True))
            ranked = sorted(case.suspects, key=lambda code, fits=fits: -fits[code])
            places.add(ranked.index(case.hidden.code))
            in_list += ranked[0] == case.hidden.code
            of_all += max(every.suspects, key=lambda code, fits=fits: fits[code]) == case.hidden.code
    assert len(places) >= 5
    assert in_list - of_all <= 0.1 * 90
    assert in_list < 0.875 * 90
