"""Fixtures and settings that several folders of tests share."""

from __future__ import annotations

import os
from pathlib import Path

# one thread in each of the processes that share the cores; before numpy is imported
os.environ.setdefault("OMP_NUM_THREADS", "1")

import glasscan.paths
import pytest
from hypothesis import settings

from tests.world import build_world

# no stopwatch: the machine may be shared; the same examples each time: a failure then comes from a change.
# New examples: `python -m pytest --hypothesis-profile=search`
settings.register_profile("suite", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None)
settings.load_profile("suite")


@pytest.fixture(scope="session", autouse=True)
def _shared_runs(tmp_path_factory: pytest.TempPathFactory) -> None:
    """Let the processes of this test run share the runs of the shipped lessons."""
    if "PYTEST_XDIST_WORKER" in os.environ:
        from tests.learning import playing

        folder = tmp_path_factory.getbasetemp().parent / "runs"
        folder.mkdir(exist_ok=True)
        playing.shared.append(folder)


@pytest.fixture
def world(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small data root of its own, with one scenario, so that tests of the words need no real data."""
    root = build_world(tmp_path / "data")
    monkeypatch.setattr(glasscan.paths, "data_root", lambda: root)
    return root
