"""What is left out comes back in the next run of the model, through the numbers of the fault data.

No outside number: signs only, as the trade's sign table has them (common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from glasscan.faults import apply as applying
from glasscan.faults.fault_data import Fault, faults
from glasscan.learning.assemble import rig_setup, section
from glasscan.learning.scenario_loading import load_scenario
from glasscan.rig.run_log import RunLog
from glasscan.rig.runner import run
from glasscan.rig.setup import Ramp, RigSetup
from glasscan.workshop.procedures.next_run import next_run
from glasscan.workshop.procedures.procedure_catalogue import load_conditions, load_procedure
from glasscan.workshop.procedures.procedure_walk import walk


@cache
def good() -> RigSetup:
    """A run-up with cool oil after good work: can full, passages more than half full."""
    lesson = load_scenario("warm-start", ("start.oil_c=30", "timeline.1.at_s=20"))
    return replace(rig_setup(lesson, section(lesson)), end_s=40.0)


@cache
def after(*conditions: str) -> RunLog:
    """The next run with conditions left behind."""
    return run(next_run(conditions, good(), "can").setup)


def lost_lpm(log: RunLog) -> np.ndarray:
    """Oil that leaves between pump and element: what the seal loses, L/min, once the passages are full."""
    flows = log.trace["pump_flow"] - log.trace["element_flow"] - log.trace["bypass_flow"]
    return np.where(log.times_s > 10.0, flows, 0.0)


def left_by(*left_out: str, present: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Conditions of a can change done well but for some steps."""
    procedure = load_procedure("can-change")
    return walk(procedure, [s for s in procedure.best if s not in left_out], present).conditions


def test_good_work_leaves_the_rig_as_it_is() -> None:
    """Nothing left behind: the same setup, and no oil lost."""
    assert next_run(left_by(), good(), "can").setup == good()
    assert np.abs(lost_lpm(after())).max() < 0.05


def test_two_gaskets_hold_at_low_pressure_and_let_go_at_high() -> None:
    """The old gasket not looked for: hardly a loss at low pressure, litres a minute above it."""
    conditions = left_by("find-gasket", present=("old-gasket-on-head",))
    assert conditions == ("double-gasket",)
    log = after(*conditions)
    opens_kpa = next_run(conditions, good(), "can").setup.plant.seal.opens_kpa
    lost, inlet = lost_lpm(log), log.trace["inlet"]
    assert lost.max() > 1.0
    assert np.abs(lost[inlet < opens_kpa]).max() < 0.05


def test_a_dry_gasket_weeps() -> None:
    """A gasket fitted dry loses a little oil, far less than two gaskets do."""
    lost = lost_lpm(after(*left_by("oil-gasket"))).max()
    assert 0.0 < lost < 0.1 * lost_lpm(after("double-gasket")).max()


def test_an_empty_can_delays_the_pressure() -> None:
    """Not filled before fitting: the gauge comes later."""

    def green_s(log: RunLog) -> float:
        return next(e.t_s for e in log.events if e.word == "pressure-green")

    assert green_s(after("bowl-empty")) > green_s(after()) + 0.3


def test_an_open_drain_gives_no_pressure() -> None:
    """The sump drained and never closed: the pressure of the next run never comes to green."""
    left = left_by("close-drain")
    assert {"drain-open", "sump-empty", "no-pressure-run-on"} <= set(left)
    log = after("drain-open", "sump-empty")
    assert log.trace["gauge"].max() < 0.25 * after().trace["gauge"].max()
    assert "pressure-green" not in [e.word for e in log.events]


def test_a_bad_new_filter_was_not_looked_at() -> None:
    """The pressure difference is far above that of a sound filter."""
    assert after("bad-new-filter").trace["dp"][-1] > 3 * after().trace["dp"][-1]


def test_one_fault_comes_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two conditions that stand for the same fault move its numbers once, and both are told as acting."""
    real, put_in = applying.apply, list[str]()

    def counted(fault: Fault, severity: float, setup: RigSetup) -> RigSetup:
        put_in.append(fault.fault)
        return real(fault, severity, setup)

    monkeypatch.setattr("glasscan.workshop.procedures.next_run.apply", counted)
    both = next_run(("loose-filter", "not-lockwired", "dry-seal"), good(), "can")
    assert both.acting == ("loose-filter", "not-lockwired", "dry-seal")
    assert put_in == ["F19", "F16"]


def test_what_the_model_cannot_show_is_named() -> None:
    """A missing record, and a fault of another kind of filter, move nothing and are told as silent."""
    outcome = next_run(("no-record", "blade-bent"), good(), "can")
    assert (outcome.setup, outcome.acting) == (good(), ())
    assert outcome.silent == ("no-record", "blade-bent")


def test_faults_named_by_conditions_exist() -> None:
    """Every code of a condition is one of the fault data."""
    named = {c.fault for c in load_conditions().values() if c.fault}
    assert len(named) > 10
    assert named <= set(faults())


def test_bad_words() -> None:
    """An unknown condition and a severity out of range are errors."""
    with pytest.raises(KeyError):
        next_run(("gremlins",), good(), "can")
    with pytest.raises(ValueError, match="severity"):
        next_run(("dry-seal",), good(), "can", 2.0)


def test_two_faults_of_one_seal_keep_the_larger_opening() -> None:
    """A dry ring does not mend two gaskets, whichever was written down first."""
    areas = [
        next_run(pair, good(), "can").setup.plant.seal.area_mm2
        for pair in (("double-gasket", "dry-seal"), ("dry-seal", "double-gasket"))
    ]
    assert areas[0] == areas[1] > next_run(("dry-seal",), good(), "can").setup.plant.seal.area_mm2


def test_what_is_done_by_hand_in_the_run_is_left_undone() -> None:
    """A handle turned in part moves the line of the timeline, nothing else."""
    setup = replace(good(), timeline=(Ramp(5.0, "scraper_turns", 3.0), Ramp(9.0, "drain_bowl", 1.0)))
    left = next_run(("partly-scraped",), setup, "disc")
    assert left.acting == ("partly-scraped",)
    assert [(r.key, r.to) for r in left.setup.timeline] == [("scraper_turns", 0.4), ("drain_bowl", 1.0)]
