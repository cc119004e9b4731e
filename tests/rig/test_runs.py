"""Recorder, runner, trace file and the plant's data: repeatable to the last bit, and wrong input refused."""

from __future__ import annotations

import csv
import dataclasses
import hashlib
import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import yaml
from glasscan.paths import asset
from glasscan.reports.trace_csv import write_trace
from glasscan.rig.plant_data import PlantData
from glasscan.rig.recorder import Recorder
from glasscan.rig.rig import Rig, RigFailedError
from glasscan.rig.run_log import RunLog
from glasscan.rig.runner import row_step_s, run
from glasscan.rig.setup import Ramp
from glasscan.rig.trace import csv_text
from pydantic import ValidationError

from tests.rig.standin import setup

START = (Ramp(1.0, "rpm", 900, 3.0),)
FRAME = 1 / 60


def played(recorder: Recorder, frames: int) -> bytes:
    """State bytes after some frames with a control moved on the way."""
    for k in range(frames):
        if k == 20:
            recorder.set("air_c", 3.0)
        recorder.step(FRAME if k % 3 else 0.02)
    return recorder.rig.state.y.tobytes()


@pytest.mark.parametrize("back_to", [0.0, 1.7, 3.3, 4.99])
def test_rewound_future_is_bit_identical(back_to: float) -> None:
    """Going back to any moment and playing the same frames again gives the same bytes, events and trace."""
    recorder = Recorder(setup(timeline=START), keep_every=50)
    while recorder.t_s < 5.0:
        recorder.step(FRAME)
    recorder.rewind(back_to)
    assert back_to - FRAME - 1e-9 <= recorder.t_s <= back_to + 1e-9
    moment = recorder.t_s
    assert recorder.trace.times_s[-1] <= moment
    first = played(recorder, 60)
    events, rows = recorder.rig.events, list(recorder.trace.rows)
    recorder.rewind(moment)
    assert recorder.t_s == moment
    assert played(recorder, 60) == first
    assert recorder.rig.events == events
    assert recorder.trace.rows == rows


def test_rewinding_over_an_input_repeats_it() -> None:
    """A control moved before the moment gone back to is still moved; one moved after it is forgotten."""
    recorder = Recorder(setup(rpm=900.0), keep_every=40)
    for k in range(100):
        if k == 50:
            recorder.set("regulator", "before")
        if k == 80:
            recorder.set("rpm", 1500.0)
        recorder.step(FRAME)
    recorder.rewind(1.0)
    assert recorder.snapshot().regulator_before
    assert recorder.snapshot().rpm == 900.0


def test_looking_changes_nothing() -> None:
    """A rig that is looked at after every step ends in the same bytes as one that is not."""
    seen, alone = Rig(setup(timeline=START)), Rig(setup(timeline=START))
    for _ in range(200):
        seen.step(FRAME)
        seen.snapshot()
        seen.ledger()
        alone.step(FRAME)
    assert seen.state.y.tobytes() == alone.state.y.tobytes()


def test_a_kept_state_can_be_put_back_into_another_rig() -> None:
    """The state holds everything that decides the future, the integrator's memory included."""
    first = Rig(setup(timeline=START))
    first.step(2.5)
    other = Rig(setup(timeline=START))
    other.state = first.state
    for rig in (first, other):
        for _ in range(30):
            rig.step(FRAME)
    assert first.state.y.tobytes() == other.state.y.tobytes()


def test_run_ends_completed_with_a_full_log() -> None:
    """A plain run: ended completed, rows at even times, events in order, books closed."""
    log = run(setup(timeline=START, end_s=12.0))
    assert (log.ended, log.final.t_s) == ("completed", 12.0)
    assert np.diff(log.times_s) == pytest.approx(row_step_s(12.0))
    assert all(len(column) == len(log.times_s) for column in log.trace.values())
    assert set(log.trace) == set(log.units)
    times = [event.t_s for event in log.events]
    assert times == sorted(times)
    assert [event.word for event in log.events][:2] == ["bypass-cracks", "gallery-full"]
    assert log.unfiltered_m3 == pytest.approx(log.trace["unfiltered"][-1] * 1e-3)
    assert log.ledger.volume_error_rel < 1e-9


def test_run_can_be_stopped() -> None:
    """The caller's progress function ends the run by returning False, and the log says so."""
    log = run(setup(), for_s=10.0, progress=lambda t, _: t < 2.0)
    assert log.ended == "stopped"
    assert 2.0 <= log.final.t_s < 2.2
    assert "stopped" in log.why


def test_run_that_cannot_go_on_is_a_log(monkeypatch: pytest.MonkeyPatch) -> None:
    """A model that fails ends in a log that says why, never in a traceback."""

    def broken(*_: object) -> None:
        raise RigFailedError("no step could be made at t = 0.000000 s")

    monkeypatch.setattr(Rig, "step", broken)
    log = run(setup(), for_s=1.0)
    assert (log.ended, log.why) == ("failed", "no step could be made at t = 0.000000 s")


def test_unfiltered_total_is_the_integral_of_the_bypass_flow() -> None:
    """The total agrees with the trapezium rule over the trace (numpy)."""
    log = run(setup(timeline=START, end_s=40.0))
    by_rule = np.trapezoid(log.trace["bypass_flow"] / 60.0, log.times_s)
    assert log.trace["unfiltered"][-1] == pytest.approx(by_rule, rel=5e-3)


def test_timeline_ramp_moves_the_shaft_straight() -> None:
    """Half way through the ramp the shaft turns at half its speed; an air jump takes effect at its moment."""
    rig = Rig(setup(timeline=(*START, Ramp(3.0, "air_c", 10.0))))
    rig.step(2.5)
    assert rig.snapshot().rpm == pytest.approx(450.0)
    assert rig.snapshot().air_c == -5.0
    rig.step(0.5)
    assert rig.snapshot().air_c == 10.0


def test_wrong_timeline_is_refused_before_the_run() -> None:
    """A timeline that moves an unknown control, or to no number, is refused when the rig is made."""
    for ramp in (Ramp(5.0, "rpms", 900), Ramp(5.0, "rpm", float("nan")), Ramp(5.0, "regulator", "beside")):
        with pytest.raises(ValueError, match=r"rpm|regulator"):
            Rig(setup(timeline=(ramp,)))


def test_trace_file_reads_back(tmp_path: Path) -> None:
    """The table read with the csv module gives back times and columns, units in the head."""
    log = run(setup(timeline=START, end_s=5.0))
    write_trace(log, tmp_path / "new" / "trace.csv")
    with (tmp_path / "new" / "trace.csv").open(newline="") as file:
        head, *rows = list(csv.reader(file))
    assert head[0] == "time [s]"
    assert "dp [kPa]" in head
    column = np.array([float(row[head.index("dp [kPa]")]) for row in rows])
    assert column == pytest.approx(log.trace["dp"], abs=1e-6)


def test_trace_file_knows_no_negative_nought(tmp_path: Path) -> None:
    """A number that rounds to nought is written without a sign; a real negative keeps it."""
    log = run(setup(), for_s=0.1)
    tiny = dataclasses.replace(log, times_s=np.zeros(2), trace={"dp": np.array([-1e-9, -1.5])})
    write_trace(tiny, tmp_path / "trace.csv")
    assert (
        tmp_path / "trace.csv"
    ).read_bytes() == b"time [s],dp [kPa]\n0.000000,0.000000\n0.000000,-1.500000\n"


PROGRAM = """
import hashlib
from glasscan.rig.runner import run
from glasscan.rig.setup import Ramp
from glasscan.rig.trace import csv_text
from tests.rig.standin import setup
log = run(setup(timeline=(Ramp(1.0, "rpm", 900, 3.0),), end_s=8.0))
print(hashlib.sha256(csv_text(log.times_s, log.trace).encode()).hexdigest())
"""


def test_equal_runs_in_two_processes_write_equal_bytes() -> None:
    """Same setup, other process, other hash seed: the same trace to the byte."""

    def digest(seed: str) -> str:
        env = os.environ | {"PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
        return subprocess.run(
            [sys.executable, "-c", PROGRAM], env=env, capture_output=True, text=True, check=True
        ).stdout.strip()

    here: RunLog = run(setup(timeline=START, end_s=8.0))
    assert (
        digest("1") == digest("2") == hashlib.sha256(csv_text(here.times_s, here.trace).encode()).hexdigest()
    )


def shipped() -> dict:
    """The shipped plant as a mapping."""
    return dict(yaml.safe_load(asset("plants", "piston-single.yaml").read_text(encoding="utf-8")))


@pytest.mark.parametrize(
    ("block", "key", "value"),
    [
        ("pump", "displacement_ml_rev", -1.0),
        ("pump", "displacement_ml_rev", float("nan")),
        ("pump", "displacement", 15.0),
        ("gallery", "trapped_air", 1.5),
        ("heat", "thermostat_c", 900.0),
        ("gauge", "tap", "tail"),
        ("dirt", "wear_pct", [50.0, 50.0]),
        ("dirt", "dust", "sand"),
    ],
)
def test_wrong_plant_data_are_refused(block: str, key: str, value: object) -> None:
    """Out of range, unknown or mismatched numbers are refused, naming where."""
    data = shipped()
    data[block] = {**data[block], key: value}
    with pytest.raises(ValidationError, match=block):
        PlantData.model_validate(data)


def test_shipped_plants_are_valid_and_sourced() -> None:
    """Every shipped plant loads, is marked invented, and gives source and status for every block."""
    for path in asset("plants").glob("*.yaml"):
        data = PlantData.model_validate(yaml.safe_load(path.read_text(encoding="utf-8")))
        assert data.plant == path.stem
        assert data.world == "invented"
