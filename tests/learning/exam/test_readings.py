"""The table a learner reads in place of the picture."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from glasscan.learning.exam.readings_table import bends, readings, table_lines
from glasscan.learning.scenario_loading import load_scenario

from tests.learning.exam.exampaper import FullLog, scenario_file


def test_the_corners_of_a_broken_line_are_found() -> None:
    """Of a line with corners at 2, 5 and 7 s exactly corners and ends are kept (by construction)."""
    t = np.linspace(0, 10, 1001)
    v = np.interp(t, [0, 2, 5, 7, 10], [0, 4, 4, 1, 9])[:, None]
    assert t[bends(t, v)].tolist() == [0, 2, 5, 7, 10]


def test_straight_lines_between_the_rows_follow_the_curve() -> None:
    """A sine and an exponential are followed within the share asked for (NumPy's interp), in few rows."""
    t = np.linspace(0, 10, 2001)
    v = np.stack([np.sin(t), np.exp(-t)], axis=1)
    kept = bends(t, v, most=60, within=0.01)
    off = [np.abs(np.interp(t, t[kept], c[kept]) - c).max() / np.ptp(c) for c in v.T]
    assert max(off) <= 0.01
    assert len(kept) < 40


def test_no_more_rows_than_asked() -> None:
    """A curve that bends everywhere keeps the number of rows allowed, its ends among them."""
    t = np.linspace(0, 1, 500)
    kept = bends(t, np.random.default_rng(1).normal(size=(500, 1)), most=12)
    assert len(kept) == 12
    assert (kept[0], kept[-1]) == (0, 499)


def test_noise_below_one_step_of_the_instrument_takes_no_rows() -> None:
    """A column that moves by less than its instrument shows is a straight line."""
    t = np.linspace(0, 1, 200)
    v = np.random.default_rng(2).uniform(0, 1e-3, size=(200, 1))
    assert bends(t, v, grain=0.1) == [0, 199]


def test_what_is_asked_is_not_printed(tmp_path: Path) -> None:
    """The difference that the prompt asks for is no column; inlet and outlet, from which it comes, are."""
    table = readings(load_scenario(str(scenario_file(tmp_path))), FullLog())
    assert not [name for name in table.names if name.startswith(("dp", "unfiltered"))]
    assert {"time_s", "inlet_kpa", "outlet_kpa", "bypass_flow_lpm"} <= set(table.names)
    row = next(r for r in table.rows if r[0] == 4.0)
    at = dict(zip(table.names, row, strict=True))
    assert at["inlet_kpa"] - at["outlet_kpa"] == pytest.approx(83.0)  # handmade.py


def test_lines_of_the_table_are_of_one_width(tmp_path: Path) -> None:
    """Names, units and numbers stand above each other."""
    lines = table_lines(readings(load_scenario(str(scenario_file(tmp_path))), FullLog()))
    assert len({len(line) for line in lines}) == 1
    assert lines[0].split()[:2] == ["time", "rpm"]
    assert lines[1].split()[0] == "s"
