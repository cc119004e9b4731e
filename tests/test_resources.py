"""Data files are found from a checkout and from an installed wheel, from any folder."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from pathlib import Path

import glasscan.paths
import pytest
from glasscan.paths import asset, data_root, scenario_folder

TOP = Path(__file__).parents[1]

LOOK = """
from glasscan.paths import asset, data_root, scenario_folder
print(data_root())
print((scenario_folder() / "cold-start.yaml").is_file())
print(sorted(p.name for p in asset("fluids").glob("*.yaml")) != [])
from glasscan.learning.scenario_loading import load_scenario
print(load_scenario("cold-start").scenario)
"""


def test_a_checkout_uses_its_own_files() -> None:
    """In a checkout the data lie beside the package, and no packed copy hides them."""
    if data_root() != TOP:
        pytest.skip("the tests run against an installed package")
    assert not (TOP / "sim" / "glasscan" / "_data").exists()
    assert (scenario_folder() / "cold-start.yaml").is_file()
    assert asset("fluids").is_dir()


def test_a_package_without_data_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A broken installation is named as such."""
    (tmp_path / "sim" / "glasscan").mkdir(parents=True)
    monkeypatch.setattr(glasscan.paths, "files", lambda _name: tmp_path / "sim" / "glasscan")
    with pytest.raises(FileNotFoundError, match="reinstall the package"):
        glasscan.paths.data_root.__wrapped__()


def test_an_unpacked_wheel_works_from_another_folder(tmp_path: Path) -> None:
    """A tree laid out like the wheel is found from any folder, and it is the packed copy that is used."""
    layout = tmp_path / "site"
    for folder in ("assets", "scenarios"):
        _copy(TOP / folder, layout / "glasscan" / "_data" / folder)
    _copy(TOP / "sim" / "glasscan", layout / "glasscan")
    away = tmp_path / "away"
    away.mkdir()
    done = subprocess.run(
        [sys.executable, "-c", LOOK],
        cwd=away,
        env={"PYTHONPATH": str(layout)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.splitlines() == [str(layout / "glasscan" / "_data"), "True", "True", "cold-start"]


def test_the_wheel_is_told_to_carry_all_data() -> None:
    """The build settings map both data folders to where the wheel's copy is looked for."""
    settings = tomllib.loads((TOP / "pyproject.toml").read_text(encoding="utf-8"))
    mapped = settings["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    parts = {f"assets/{path.name}" for path in (TOP / "assets").iterdir()} - {"assets/pictures"}
    assert mapped == {part: f"glasscan/_data/{part}" for part in {*parts, "scenarios"}}


def _files(folder: Path) -> list[Path]:
    return [p for p in folder.rglob("*") if p.is_file() and "__pycache__" not in p.parts]


def _copy(source: Path, target: Path) -> None:
    for path in _files(source):
        new = target / path.relative_to(source)
        new.parent.mkdir(parents=True, exist_ok=True)
        new.write_bytes(path.read_bytes())
