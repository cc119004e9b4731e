"""A cache of our own, so that tests neither read nor leave anything in the user's."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from sim.lessons.cases import atlas


@pytest.fixture(scope="session", autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The cache folder of this test session."""
    folder = tmp_path_factory.mktemp("cases")
    patch = pytest.MonkeyPatch()
    patch.setattr(atlas, "_folder", lambda: folder)
    yield folder
    patch.undo()
