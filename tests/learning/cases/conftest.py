"""A cache of our own, so that tests neither read nor leave anything in the user's."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from glasscan.learning.cases import atlas


def shared_folder(factory: pytest.TempPathFactory) -> Path:
    """A cache of this run of the tests, one for all its processes: files are moved into place whole."""
    if "PYTEST_XDIST_WORKER" not in os.environ:
        return factory.mktemp("cases")
    folder = factory.getbasetemp().parent / "cases"
    folder.mkdir(exist_ok=True)
    return folder


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The cache folder of this test session."""
    folder = shared_folder(tmp_path_factory)
    patch = pytest.MonkeyPatch()
    patch.setattr(atlas, "_folder", lambda: folder)
    yield folder
    patch.undo()
