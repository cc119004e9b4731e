"""Solved filters are kept: read again to the last bit, solved once in a process, not trusted when broken."""

import numpy as np
import pytest
from glasscan.filters import kept_solutions
from glasscan.filters.cartridge import geometry
from glasscan.filters.filter_data import CartridgeData
from glasscan.filters.levels import solve_levels
from glasscan.paths import CACHE_DIR, asset
from yaml import safe_load


@pytest.fixture
def data(tmp_path, monkeypatch):
    """A small cartridge filter, an empty memory and an empty folder."""
    monkeypatch.setenv(CACHE_DIR, str(tmp_path))
    monkeypatch.setattr(kept_solutions, "_memory", {})
    return CartridgeData.model_validate(safe_load(asset("filters", "cartridge-bowl.yaml").read_text()))


def build(data, monkeypatch):
    """The filter on a coarse grid, and whether it was solved."""
    solved = []
    monkeypatch.setattr(geometry, "solve_levels", lambda layout: solved.append(1) or solve_levels(layout))
    return geometry.build(data, fineness=0.5), bool(solved)


def test_a_filter_is_solved_once_and_read_the_next_time(data, monkeypatch):
    """The second process reads what the first one solved, and has the same numbers."""
    first, solved = build(data, monkeypatch)
    again, twice = build(data, monkeypatch)
    assert solved
    assert not twice
    assert again.levels[0] is first.levels[0]
    kept_solutions._memory.clear()  # a new process
    read, thrice = build(data, monkeypatch)
    assert not thrice
    assert np.array_equal(read.levels[0].velocity, first.levels[0].velocity)
    assert np.array_equal(read.network.paths.valve_r, first.network.paths.valve_r)
    assert read.levels[0].walls.cut.dtype == first.levels[0].walls.cut.dtype


def test_a_broken_or_foreign_file_is_solved_again(data, monkeypatch, tmp_path):
    """Cut short or full of rubbish: as if it were not there."""
    build(data, monkeypatch)
    (path,) = tmp_path.rglob("solution-*.npz")
    whole = path.read_bytes()
    for rubbish in (whole[: len(whole) // 2], b"", b"rubbish"):
        path.write_bytes(rubbish)
        kept_solutions._memory.clear()
        assert build(data, monkeypatch)[1]


def test_another_size_is_another_solution(data, monkeypatch):
    """The name follows the data."""
    build(data, monkeypatch)
    wider = data.model_copy(update={"valve": data.valve.model_copy(update={"max_lift_mm": 2.0})})
    assert build(wider, monkeypatch)[1]


def test_a_folder_that_cannot_be_written_costs_nothing(data, monkeypatch, tmp_path):
    """A file where the folder should be: the filter is solved and used all the same."""
    (tmp_path / "filters").write_text("in the way")
    assert build(data, monkeypatch)[0].levels
