"""Fixtures that several folders of tests share."""

from __future__ import annotations

from pathlib import Path

import pytest

import sim.resources
from tests.world import build_world


@pytest.fixture
def world(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small data root of its own, with one scenario, so that tests of the words need no real data."""
    root = build_world(tmp_path / "data")
    monkeypatch.setattr(sim.resources, "data_root", lambda: root)
    return root
