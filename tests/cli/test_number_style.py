"""Units and decimal sign of trace.csv: read rightly by pandas and by a comma's rule."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest
from glasscan.cli.main import main

PSI_KPA = 6.894757293168361  # NIST SP 811, Appendix B.8: 1 psi = 6.894 757 kPa
GALLON_L = 3.785411784  # NIST SP 811: US gallon, exact


def trace(folder: Path, *words: str) -> Path:
    """Run some seconds as a user types it."""
    assert main(["run", "cold-start", "--for", "6", "--out", str(folder), *words]) == 0
    return folder / "trace.csv"


def test_units_and_comma_by_option_and_by_setting(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same run three times: as ever, in US units with a comma, and so by config.toml."""
    monkeypatch.setenv("GLASSCAN_DATA_DIR", str(tmp_path / "data"))
    plain = pd.read_csv(trace(tmp_path / "a"))
    asked = trace(tmp_path / "b", "--units", "us", "--decimal", "comma")
    (tmp_path / "data").mkdir(exist_ok=True)
    setting = tmp_path / "data" / "config.toml"
    setting.write_text('[numbers]\nunits = "us"\ndecimal = "comma"\n', "utf-8")
    kept = trace(tmp_path / "c")
    assert kept.read_bytes() == asked.read_bytes()
    assert pd.read_csv(trace(tmp_path / "d", "--units", "si", "--decimal", "point")).equals(plain)

    table = pd.read_csv(asked, sep=";", decimal=",")
    assert [c.split(" [")[0] for c in table] == [c.split(" [")[0] for c in plain]
    assert table["dp [psi]"].to_numpy() == pytest.approx(plain["dp [kPa]"].to_numpy() / PSI_KPA, abs=2e-6)
    fahrenheit = plain["filter_oil [degC]"].to_numpy() * 1.8 + 32.0
    assert table["filter_oil [degF]"].to_numpy() == pytest.approx(fahrenheit, abs=2e-6)
    litres = plain["pump_flow [L/min]"].to_numpy()
    assert table["pump_flow [gal/min]"].to_numpy() == pytest.approx(litres / GALLON_L, abs=2e-6)
    assert plain["dp [kPa]"].max() > 1.0
    assert "." not in asked.read_text("utf-8").split("\n", 1)[1]  # every number has a comma alone
    capsys.readouterr()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[numbers]\nunits = "uss"\n', "numbers.units: expected one of si, us, bar, found 'uss' (did"),
        ("[numbers]\ndecimals = 1\n", "numbers.decimals: unknown key, expected units or decimal"),
        ("[numbers\n", "config.toml: "),
    ],
)  # fmt: skip
def test_a_wrong_setting_is_told_in_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], text: str, said: str
) -> None:
    """File, key, what was expected, nearest word; nothing is run."""
    monkeypatch.setenv("GLASSCAN_DATA_DIR", str(tmp_path))
    (tmp_path / "config.toml").write_text(text, "utf-8")
    assert main(["run", "cold-start", "--for", "1", "--out", str(tmp_path / "out")]) == 2
    assert said in capsys.readouterr().err
    assert not (tmp_path / "out" / "trace.csv").exists()
