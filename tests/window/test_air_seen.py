"""Air in the oil is drawn by the share that it takes at the pressure of the filter.

Outside fact: Boyle's law for the bubbles (isothermal), p V constant; the fault's file says how much free air
the pump draws at the air's pressure.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from glasscan.cli.main import main
from glasscan.paths import data_root

SHARE = 0.25
"""Free air drawn at its gravest, share of the volume at the pressure of the air (assets/faults)."""
AIR_KPA = 101.325


def _shot(folder: Path, at_s: float, capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    lesson = folder / "cold-start.yaml"
    text = (data_root() / "scenarios" / "cold-start.yaml").read_text(encoding="utf-8")
    fault = "faults:\n  - {fault: F22, severity: 1.0}\ntimeline:"
    lesson.write_text(text.replace("timeline:", fault, 1), encoding="utf-8")
    picture = str(folder / "airy.png")
    assert main(["shot", str(lesson), "--at", str(at_s), "--json", "--out", picture]) == 0
    return dict(json.loads(capsys.readouterr().out)["drawn"])


def test_bubbles_are_squeezed_by_the_pressure(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Under pressure the bubbles drawn take the share that Boyle's law leaves them."""
    drawn = _shot(tmp_path, 60.0, capsys)
    numbers = drawn["numbers"]
    assert isinstance(numbers, dict)
    ratio = SHARE / (1.0 - SHARE) * AIR_KPA / (AIR_KPA + float(numbers["Inlet (gauge)"]))
    assert drawn["void_share"] == pytest.approx(ratio / (1.0 + ratio), rel=0.08)


def test_no_bubbles_before_the_pump_has_sent_any(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Oil that stood all night has let its air go."""
    assert _shot(tmp_path, 1.0, capsys)["void_share"] == 0.0
