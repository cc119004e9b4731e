"""The rig under a case: opening, closing and running cost minutes, and a new filter is read as a new one.

Minutes are invented. What a filter change cures is common practice: faults of element, valve and seal.
"""

from __future__ import annotations

import pytest
from glasscan.learning.cases.case_files import read, save
from glasscan.learning.cases.case_play import Case, RefusedError, field_of
from glasscan.learning.cases.case_rig import (
    CLOSE_MIN,
    COOL_MIN,
    RELEASE_MIN,
    START_MIN,
    CaseRig,
    least_minutes,
)
from glasscan.learning.cases.generate import generate
from glasscan.learning.cases.repair_check import repair_check
from glasscan.learning.cases.scoring import own_path, review
from glasscan.learning.cases.test_menu import menu

MENU = {t.test: t for t in menu().tests}
KIND = "can"


def seed_of(*codes: str) -> int:
    """A case of the can with one of some faults that may be run."""
    for seed in range(400):
        hidden = generate(seed, KIND)
        if hidden.fault.fault in codes and hidden.runnable:
            return seed
    raise AssertionError(codes)


@pytest.fixture(scope="module")
def clogged() -> int:
    """A case with a clogged element."""
    return seed_of("F06")


def begun(seed: int) -> Case:
    """A case with a hypothesis stated."""
    case = Case.begin(seed, KIND, 2)
    case.think([case.suspects[0]])
    return case


def test_the_engine_is_closed_up_before_it_runs(clogged: int) -> None:
    """Filter cut open, pump on the stand: the next start finds them in place, and charges for it."""
    case = begun(clogged)
    case.act("release")
    case.order("cut-open")
    case.order("pump-stand")
    assert case.rig.off == {"filter", "pump"}
    before = case.cost_min
    case.act("start")
    assert case.rig.off == frozenset()
    assert case.cost_min - before == CLOSE_MIN + START_MIN
    assert case.rig.element == "new"


def test_a_new_filter_is_read_as_one(clogged: int) -> None:
    """After the swap the differential pressure is that of a new element, not of the clogged one."""
    old = begun(clogged)
    old.act("release")
    dirty = old.order("dp-two-gauges")[2]
    case = begun(clogged)
    case.act("release")
    case.order("swap-filter")
    case.act("release")
    clean = case.order("dp-two-gauges")[2]
    assert clean == pytest.approx(case.baseline["dp_cruise_kpa"], abs=2.0)
    assert dirty > clean + 5.0
    held = dict(zip((r.what for r in MENU["cut-open"].reads), case.order("cut-open"), strict=True))
    assert held["cake_ratio"] > 1.5  # the old element was kept, and is still the old one


def test_the_filter_is_changed_on_an_engine_that_stands(clogged: int) -> None:
    """Nobody starts the engine in order to change its filter; with pressure in it the case ends."""
    case = begun(clogged)
    case.act("start")
    with pytest.raises(RefusedError):
        case.order("jar")
    case.order("swap-filter")
    assert case.ended is not None
    assert "engine running" in case.ended


def test_belief_after_a_swap_reads_the_new_filter(clogged: int) -> None:
    """Sound readings after the swap do not speak against a clogged element."""
    case = begun(clogged)
    case.act("release")
    case.order("swap-filter")
    case.act("release")
    case.order("dp-two-gauges")
    steps = own_path(case, field_of(case))
    assert steps[1].beliefs["F06"] == pytest.approx(steps[0].beliefs["F06"], abs=0.1)


def test_minutes_between_tests() -> None:
    """A warm engine has to cool before it is opened; a cold one only loses its pressure."""
    warm = CaseRig().acted("start").acted("stop").acted("release")
    cold = CaseRig().acted("release")
    assert warm.minutes - cold.minutes >= COOL_MIN
    assert cold.minutes == RELEASE_MIN
    alone, both = (
        least_minutes([MENU[t] for t in tests]) for tests in (("cut-open",), ("cut-open", "leak-check"))
    )
    assert both - alone == CLOSE_MIN + START_MIN + MENU["leak-check"].cost_min


def test_a_swapped_case_is_kept_in_its_file(clogged: int, tmp_path) -> None:  # type: ignore[no-untyped-def]
    """A saved case with a swap in it is read back as it was."""
    case = begun(clogged)
    case.act("release")
    case.order("swap-filter")
    case.act("release")
    case.order("dp-two-gauges")
    save(case, tmp_path / "case.json")
    assert read(tmp_path / "case.json").rig == case.rig


@pytest.mark.parametrize("right", [True, False])
def test_a_case_ends_with_repair_and_operational_check(clogged: int, right: bool) -> None:
    """The right repair cures every reading; a wrong one does not. Action and entry are told again."""
    case = begun(clogged)
    other = next(c for c in case.suspects if c != case.hidden.code)
    case.decide(case.hidden.code if right else other, "Filter changed", "ref 79-20, run up, dry")
    check = repair_check(case)
    assert check is not None
    assert check.cured == right
    assert any("Filter changed" in line for line in check.words)
    assert any("ref 79-20" in line for line in check.words)
    assert review(case).score is not None
