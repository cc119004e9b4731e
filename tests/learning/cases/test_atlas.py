"""The cached observables: equal to the model's, and robust to every kind of damage."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from glasscan.faults.fault_data import faults
from glasscan.faults.observables import observe, subject
from glasscan.learning.cases import atlas as store
from glasscan.learning.cases.atlas import SEVERITIES, atlas, sound_rig


@pytest.fixture
def kept(own_cache: Path) -> Path:
    """The file of the spin-on filter; another test of this process may know it from another folder."""
    store._known.pop(("can", "after"), None)
    atlas("can", "after")
    return next(own_cache.glob("can-after-*.npz"))


def test_the_cache_holds_what_the_model_gives(kept: Path) -> None:
    """One row read back from the file against the model, worked out afresh."""
    read = store._read(kept, "can", "after")
    row = read.values[read.codes.index("F25"), 2]
    fresh = observe(subject(faults()["F25"], SEVERITIES[2], sound_rig("can", "after")))
    assert dict(zip(read.names, row.tolist(), strict=True)) == fresh


def test_a_cache_file_carries_no_objects(kept: Path) -> None:
    """Every array is numbers or text: nothing that could run code when read."""
    with np.load(kept, allow_pickle=False) as found:
        assert all(found[name].dtype.kind in "fU" for name in found.files)


@pytest.mark.parametrize("damage", ["empty", "cut", "foreign", "nan", "missing"])
def test_damage_is_noticed(kept: Path, tmp_path: Path, damage: str) -> None:
    """Empty, cut short, another program's, with a hole in the numbers, or gone: worked out anew."""
    path = tmp_path / "kept.npz"
    raw = kept.read_bytes()
    if damage == "nan":
        made = store._read(kept, "can", "after")
        made.values[0, 0, 0] = np.nan
        np.savez(path, codes=made.codes, names=made.names, values=made.values, healthy=made.healthy)
    elif damage != "missing":
        path.write_bytes({"empty": b"", "cut": raw[: len(raw) // 2], "foreign": b"PK\x03\x04 no"}[damage])
    assert store._read(path, "can", "after") is None
    assert store._read(kept, "can", "after") is not None


def test_another_filters_file_is_refused(kept: Path) -> None:
    """A file under a wrong name does not pass for another filter's."""
    assert store._read(kept, "disc", "after") is None


def test_a_cache_that_cannot_be_written_is_no_fault(kept: Path, tmp_path: Path) -> None:
    """The folder's name is taken by a file: the answer is given all the same."""
    taken = tmp_path / "taken"
    taken.write_text("", encoding="utf-8")
    store._write(taken / "x.npz", store._read(kept, "can", "after"))
    assert taken.is_file()
