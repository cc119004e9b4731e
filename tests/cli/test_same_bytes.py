"""The same seed gives the same bytes: in other processes, with other hash seeds, on other Python versions.

Other versions are tried where their interpreters have Glasscan's packages: name them in GLASSCAN_PYTHONS,
with the path separator of the system between them.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import TOP

PACKAGES = "numpy, scipy, pygame, pymunk, yaml, pydantic, platformdirs, cryptography"
RUN = ("run", "scraper-day", "--for", "4", "--json", "--out")


def others() -> list[str]:
    """Interpreters named in the environment that have the packages."""
    named = [path for path in os.environ.get("GLASSCAN_PYTHONS", "").split(os.pathsep) if path]
    probe = ["-c", f"import {PACKAGES}"]
    return [p for p in named if subprocess.run([p, *probe], capture_output=True, check=False).returncode == 0]


def told_and_traced(python: str, folder: Path, hash_seed: str) -> tuple[str, bytes]:
    """Standard output and trace of one run in a process of its own."""
    env = {
        **os.environ,
        "PYTHONPATH": str(TOP / "sim"),
        "PYTHONHASHSEED": hash_seed,
        "SDL_VIDEODRIVER": "dummy",
    }
    command = [python, "-m", "glasscan", *RUN, str(folder)]
    done = subprocess.run(command, capture_output=True, text=True, cwd=TOP, env=env, check=True)
    return done.stdout, (folder / "trace.csv").read_bytes()


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> tuple[str, bytes]:
    """The run that the others are compared with."""
    return told_and_traced(sys.executable, tmp_path_factory.mktemp("first"), "0")


def test_another_hash_seed_changes_nothing(first: tuple[str, bytes], tmp_path: Path) -> None:
    """No order of a set or of a dictionary's hashes reaches the numbers."""
    assert told_and_traced(sys.executable, tmp_path, "4242") == first


def test_other_versions_write_the_same(first: tuple[str, bytes], tmp_path: Path) -> None:
    """Every other Python that was named tells and traces the same bytes."""
    found = others()
    if not found:
        pytest.skip("no other Python with the packages is named in GLASSCAN_PYTHONS")
    for k, python in enumerate(found):
        assert told_and_traced(python, tmp_path / str(k), "1") == first, python
