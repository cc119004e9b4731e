"""Same seed, same bytes; rewinding and replaying lead to the same future."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

import pytest
from glasscan.debris import Debris, world
from glasscan.debris import debris as module
from glasscan.debris.history import Stepped

from tests.debris.conftest import run

TOP = Path(__file__).parents[2]
SCRIPT = """
from tests.debris.test_again import digest_of_a_run
print(digest_of_a_run())
"""


def state(debris):
    """Bytes of all that moves, and the counts."""
    arrays = (debris.positions, debris.angles, debris.velocities)
    return b"".join(a.tobytes() for a in arrays), debris.counts(), debris.lift_m, debris.numbers


def digest_of_a_run():
    """Digest of a run in the tank with jets, additions and removals, made without fixtures."""
    from tests.debris import conftest

    scene, still = conftest.tank.__wrapped__()
    jet = type("Jet", (), {"u_r_m_s": still.u_r_m_s, "u_z_m_s": still.u_z_m_s + 0.1})
    debris = Debris(scene, 11)
    for k in range(60):
        if k % 10 == 0:
            debris.add(("D2", "D9", "D18")[k % 3], 10, "dirty")
        if k == 35:
            debris.remove(debris.numbers[3:9])
        debris.step(jet if k % 20 < 8 else still, 0.02, 850.0, 0.0, 1 / 120)
    return hashlib.sha256(state(debris)[0]).hexdigest()


def test_same_bytes_in_other_processes():
    """Processes with other hash seeds give the same bytes."""
    found = set()
    for hash_seed in ("1", "77"):
        env = {**os.environ, "PYTHONHASHSEED": hash_seed, "PYTHONPATH": str(TOP / "sim")}
        done = subprocess.run(
            [sys.executable, "-c", SCRIPT], capture_output=True, text=True, cwd=TOP, env=env, check=True
        )
        found.add(done.stdout.strip())
    assert found == {digest_of_a_run()}


def test_another_seed_is_another_run(section):
    """The seed matters."""
    one, two = Debris(section, 1), Debris(section, 2)
    one.add("D2", 3, "dirty")
    two.add("D2", 3, "dirty")
    assert state(one) != state(two)


def eventful(section, moment, monkeypatch):
    """A run of 100 steps with additions, flows and a removal; checkpoints every 30 steps."""
    monkeypatch.setattr(module, "CHECK_STEPS", 30)
    debris, seen = Debris(section, 9), {}
    for k in range(100):
        if k % 25 == 0:
            debris.add("D3", 6, "dirty")
            debris.add("D18", 4, (0.0, 0.01, 0.099, 0.105))
        if k == 60:
            debris.remove(debris.numbers[:3])
        seen[k] = state(debris)
        run(debris, moment(3e-4, 3e-4, 0.8e-3) if 20 < k < 70 else moment(), 1)
    seen[100] = state(debris)
    return debris, seen


@pytest.mark.parametrize("until", [0, 29, 30, 31, 77, 100])
def test_replay_gives_the_same_state(section, moment, monkeypatch, until):
    """Seed and log make the state of any step again, bit for bit."""
    debris, seen = eventful(section, moment, monkeypatch)
    assert state(debris.replay(debris.log, until)) == seen[until]


@pytest.mark.parametrize("until", [0, 12, 30, 61, 95])
def test_rewind_has_the_same_future(section, moment, monkeypatch, until):
    """After a rewind the same inputs lead to the same bytes, and the log is the same again."""
    debris, seen = eventful(section, moment, monkeypatch)
    log = debris.log
    debris.rewind(until)
    assert state(debris) == seen[until]
    assert debris.steps == until
    debris._do(log[len(debris.log) :], 100)
    assert state(debris) == seen[100]
    assert len(debris.log) == len(log)


def drifting(section, moment, monkeypatch):
    """A run of 100 steps whose flow grows by a little in each, as that of an engine warming up."""
    monkeypatch.setattr(module, "CHECK_STEPS", 30)
    debris, seen = Debris(section, 9), []
    debris.add("D3", 6, "dirty")
    for k in range(100):
        seen.append(state(debris))
        run(debris, moment(3e-4 * (1 + 1e-4 * k)), 1)
    return debris, [*seen, state(debris)]


def test_steps_with_the_same_motion_share_one_moment(section, moment, monkeypatch):
    """An hour of steps must not keep an hour of snapshots: here 100 of them keep fewer than ten."""
    debris, _ = drifting(section, moment, monkeypatch)
    steps = [entry for entry in debris.log if isinstance(entry, Stepped)]
    assert len(steps) == 100
    assert len({id(step.fields) for step in steps}) < 10


@pytest.mark.parametrize("until", [29, 30, 31, 64])
def test_rewind_is_exact_where_moments_are_shared(section, moment, monkeypatch, until):
    """The moments that are kept give the very velocities that the run had, across checkpoints too."""
    debris, seen = drifting(section, moment, monkeypatch)
    debris.rewind(until)
    assert state(debris) == seen[until]
    for k in range(until, 100):
        run(debris, moment(3e-4 * (1 + 1e-4 * k)), 1)
        assert state(debris) == seen[k + 1]


def test_a_rewind_decomposes_no_wall_again(section, moment, monkeypatch):
    """The library keeps the memory of every decomposition for good: one for each wall is enough."""
    debris = Debris(section, 3)
    calls = []
    monkeypatch.setattr(world.autogeometry, "convex_decomposition", lambda *_: calls.append(1) or [])
    debris.add("D2", 2, "dirty")
    run(debris, moment(), 2)
    debris.rewind(0)
    assert len(Debris(section, 4)) == 0
    assert calls == []
