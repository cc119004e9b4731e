"""Fixtures and settings that several folders of tests share."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

# one thread in each of the processes that share the cores; before numpy is imported
os.environ.setdefault("OMP_NUM_THREADS", "1")

import glasscan.paths
import pytest
from hypothesis import settings

from tests.world import build_world

# stores are written through to the disk at every answer: the files of the tests lie in memory where there is
# room, which took two minutes off one file of twenty tests
MEMORY, ENOUGH_BYTES = Path("/dev/shm"), 1 << 30
if MEMORY.is_dir() and os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ENOUGH_BYTES:
    os.environ.setdefault("PYTEST_DEBUG_TEMPROOT", str(MEMORY))

# no stopwatch: the machine may be shared; the same examples each time: a failure then comes from a change.
# New examples: `python -m pytest --hypothesis-profile=search`
settings.register_profile("suite", deadline=None, derandomize=True)
settings.register_profile("search", deadline=None)
settings.load_profile("suite")


QUICK = (
    "tests/laws",
    "tests/content",
    "tests/ui",
    "tests/learning/scoring",
    "tests/learning/question_types",
    "tests/learning/review",
    "tests/learning/test_numbers.py",
    "tests/learning/test_marking.py",
    "tests/reports/test_pages.py",
    "tests/rig/test_marks.py",
    "tests/rig/test_filter_flow.py",
    "tests/contaminant/test_classes.py",
    "tests/contaminant/test_stocks.py",
    "tests/debris/test_kinds.py",
    "tests/debris/test_settling.py",
    "tests/window/test_canvas.py",
    "tests/window/test_quantities.py",
    "tests/window/test_theme.py",
    "tests/window/test_widgets.py",
    "tests/window/test_labels.py",
    "tests/cli/test_program.py",
    "tests/test_",
)
"""What `pytest -m quick` runs on every save: laws, widgets, forms, layout; nothing solves a filter."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark the tests of the quick tier by where they lie."""
    top = Path(__file__).parents[1]
    for item in items:
        if item.path.relative_to(top).as_posix().startswith(QUICK):
            item.add_marker(pytest.mark.quick)


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
