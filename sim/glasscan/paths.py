"""Find `assets/` and `scenarios/` from a checkout, an editable install or a wheel."""

from __future__ import annotations

import os
from functools import cache
from importlib.resources import files
from pathlib import Path

CACHE_DIR = "GLASSCAN_CACHE_DIR"  # in the environment: folder of solved filters and small pictures
DATA_DIR = "GLASSCAN_DATA_DIR"  # in the environment: folder of results and cases


@cache
def data_root() -> Path:
    """Return the folder that holds `assets` and `scenarios`.

    A wheel carries them inside the package; a checkout has them beside it.

    Raises:
        FileNotFoundError: neither place has them (a broken installation).
    """
    package = Path(str(files("glasscan")))
    packed = package / "_data"
    if (packed / "assets").is_dir():
        return packed
    top = package.parent.parent
    if (top / "pyproject.toml").is_file() and (top / "assets").is_dir():
        return top
    raise FileNotFoundError("assets/ and scenarios/ not found: reinstall the package")


def asset(*parts: str) -> Path:
    """Path of a file under `assets/`."""
    return data_root().joinpath("assets", *parts)


def scenario_folder() -> Path:
    """Path of the folder of shipped scenario files."""
    return data_root() / "scenarios"


def own_content(kind: str) -> Path:
    """Folder of an author's own files ("lessons", "fluids" ...), searched before the shipped one."""
    return own_folder() / "content" / kind


def own_folder() -> Path:
    """The user's own folder for results and cases: as the environment names it, else that of this system."""
    named = os.environ.get(DATA_DIR)
    if named:
        return Path(named)
    from platformdirs import user_data_path  # only here: the default folder alone needs it

    return user_data_path("glasscan", appauthor=False)


def state_folder() -> Path:
    """Folder for who sat here last and where it was left: in the folder named, else that of this system."""
    if os.environ.get(DATA_DIR):
        return own_folder()
    from platformdirs import user_state_path

    return user_state_path("glasscan", appauthor=False)


def documents_folder() -> Path:
    """Folder for what is taken away (pictures, results): in the folder named, else the documents."""
    if os.environ.get(DATA_DIR):
        return own_folder() / "documents"
    from platformdirs import user_documents_path

    return user_documents_path() / "Glasscan"


def log_folder() -> Path:
    """Folder of the window's log: in the folder named, else that of this system."""
    if os.environ.get(DATA_DIR):
        return own_folder() / "log"
    from platformdirs import user_log_path

    return user_log_path("glasscan", appauthor=False)


def cache_folder() -> Path:
    """Folder for what can be worked out again; as the environment names it, else that of this system."""
    named = os.environ.get(CACHE_DIR)
    if named:
        return Path(named)
    from platformdirs import user_cache_path

    return user_cache_path("glasscan", appauthor=False)
