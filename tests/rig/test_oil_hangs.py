"""With the pump at rest a full can stands over an empty gallery, and nothing seeps through its wet element.

Source of the law: bubble point of a wet porous medium, 4 sigma/d (Washburn 1921; ISO 2942 tests elements by
it, from memory): pores of 30 um in oil of 0.03 N/m carry 4 kPa, four times the head of oil in a can. That a
spin-on filter with a good anti-drain-back valve is found full in the morning is common practice, no source.
"""

from __future__ import annotations

import json

import pytest
from glasscan.cli.main import main

SIGMA_N_M, PORE_M = 0.03, 30e-6
HEAD_KPA = 1.0  # assets/plants: back pressure of the full height of oil


def _facts(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, float]:
    assert main(["run", "cold-start", *words, "--json"]) == 0
    return dict(json.loads(capsys.readouterr().out)["final"])


def test_the_medium_carries_more_than_the_oil_above_it() -> None:
    """Washburn's pressure against the head that the rig works with."""
    assert 4e-3 * SIGMA_N_M / PORE_M > 2.0 * HEAD_KPA


def test_nothing_seeps_before_the_start(capsys: pytest.CaptureFixture[str]) -> None:
    """Half a second before the pump turns: no flow and no drop, with the can full and the gallery empty."""
    final = _facts(capsys, "--for", "0.5")
    assert abs(final["dp_kpa"]) < 0.01
    assert final["gallery_fill"] < 1e-5
    assert abs(final["element_lpm"]) < 1e-3


def test_a_turning_pump_sends_it_through(capsys: pytest.CaptureFixture[str]) -> None:
    """What the medium carries at rest is no hindrance to the pump."""
    assert _facts(capsys, "--for", "3")["element_lpm"] > 2.0
