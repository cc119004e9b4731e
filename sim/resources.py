"""Find `assets/` and `scenarios/` from a checkout, an editable install or a wheel."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path


@cache
def data_root() -> Path:
    """Return the folder that holds `assets` and `scenarios`.

    A wheel carries them inside the package; a checkout has them beside it.

    Raises:
        FileNotFoundError: neither place has them (a broken installation).
    """
    package = Path(str(files("sim")))
    packed = package / "_data"
    if (packed / "assets").is_dir():
        return packed
    top = package.parent
    if (top / "pyproject.toml").is_file() and (top / "assets").is_dir():
        return top
    raise FileNotFoundError("assets/ and scenarios/ not found: reinstall the package")


def asset(*parts: str) -> Path:
    """Path of a file under `assets/`."""
    return data_root().joinpath("assets", *parts)


def scenario_folder() -> Path:
    """Path of the folder of shipped scenario files."""
    return data_root() / "scenarios"
