"""Observables of every fault at several severities, worked out once and kept in the user's cache.

The cache is a plain array file without objects; it is keyed by data, code and version. A damaged or
foreign file is worked out anew.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glasscan import __version__
from glasscan.faults.fault_data import Fault, acting, joined, pairs_acting
from glasscan.faults.observables import Values, observe, subject, subject_of
from glasscan.faults.sound_rigs import sound
from glasscan.files import whole
from glasscan.filters.build import build
from glasscan.filters.filter_data import FilterData
from glasscan.learning.catalogue import load_filter, load_fluid, load_plant
from glasscan.paths import asset, cache_folder
from glasscan.rig.setup import Place, RigSetup

Floats = NDArray[np.float64]
Say = Callable[[str], None]
FILTERS = {"can": "can-full-flow", "cartridge": "cartridge-bowl", "disc": "disc-stack"}
PLANTS = {"can": "piston-test-stand", "cartridge": "piston-test-stand", "disc": "radial-test-stand"}
FLUID = "multigrade-15w-50"
SEVERITIES = tuple(np.linspace(0.0, 1.0, 7).tolist())
PAIR_SEVERITIES = (0.0, 0.5, 1.0)
"""Of each of two faults at once."""
FORMAT = 3
PARTS = ("laws", "flow", "filters", "contaminant", "rig", "faults")
"""Packages whose code the observables depend on."""


@dataclass(frozen=True)
class Atlas:
    """Observables of one filter in one layout.

    Attributes:
        kind, layout: which.
        codes: (F,) faults that act there.
        names: (O,) observables.
        values: (F, S, O) at `SEVERITIES`.
        healthy: (O,) of the sound rig.
        pairs: (P,) double faults such as "F01+F06".
        pair_values: (P, T, T, O) at `PAIR_SEVERITIES` of the first and of the second.
    """

    kind: str
    layout: Place
    codes: tuple[str, ...]
    names: tuple[str, ...]
    values: Floats
    healthy: Floats
    pairs: tuple[str, ...]
    pair_values: Floats

    @property
    def suspects(self) -> tuple[str, ...]:
        """All that can be wrong: the faults, then the double faults."""
        return (*self.codes, *self.pairs)

    @property
    def baseline(self) -> Values:
        """Observables of the sound rig by name."""
        return dict(zip(self.names, self.healthy.tolist(), strict=True))

    def column(self, name: str) -> Floats:
        """(F, S) values of one observable."""
        return self.values[:, :, self.names.index(name)]

    def pair_column(self, name: str) -> Floats:
        """(P, T, T) values of one observable under double faults."""
        return self.pair_values[:, :, :, self.names.index(name)]


@cache
def sound_rig(kind: str, layout: Place) -> RigSetup:
    """The sound rig with the shipped filter of a kind."""
    network = build(FilterData(load_filter(FILTERS[kind]))).network
    return sound(load_fluid(FLUID), network, load_plant(PLANTS[kind]), layout)


_known: dict[tuple[str, str], Atlas] = {}


def atlas(kind: str, layout: Place, say: Say | None = None) -> Atlas:
    """The atlas of a filter in a layout, from the cache where it is good; read once in a process."""
    if (kind, layout) not in _known:
        _known[kind, layout] = _made(kind, layout, say)
    return _known[kind, layout]


def _made(kind: str, layout: Place, say: Say | None) -> Atlas:
    path = _folder() / f"{kind}-{layout}-{_key()}.npz"
    found = _read(path, kind, layout)
    if found is None:
        if say:
            say(f"working out the faults of the {kind} filter, regulator {layout} it (once)")
        found = worked_out(kind, layout)
        _write(path, found)
    return found


def worked_out(kind: str, layout: Place) -> Atlas:
    """The atlas straight from the model."""
    rig = sound_rig(kind, layout)
    healthy = observe(subject(None, 0.0, rig))
    names = tuple(healthy)
    faults = acting(kind, layout)
    rows = [_rows(fault, rig, names) for fault in faults]
    codes = tuple(fault.fault for fault in faults)
    both = pairs_acting(kind, layout)
    square = np.array([_square(pair, rig, names) for pair in both])
    shape = (len(both), len(PAIR_SEVERITIES), len(PAIR_SEVERITIES), len(names))
    return Atlas(
        kind,
        layout,
        codes,
        names,
        np.array(rows),
        np.array([healthy[n] for n in names]),
        tuple(joined(*pair) for pair in both),
        square.reshape(shape),
    )


def _rows(fault: Fault, rig: RigSetup, names: tuple[str, ...]) -> list[list[float]]:
    found = [observe(subject(fault, severity, rig)) for severity in SEVERITIES]
    return [[values[name] for name in names] for values in found]


def _square(pair: tuple[Fault, Fault], rig: RigSetup, names: tuple[str, ...]) -> list[list[list[float]]]:
    first, second = pair
    rows = []
    for one in PAIR_SEVERITIES:
        seen = [observe(subject_of([(first, one), (second, other)], rig)) for other in PAIR_SEVERITIES]
        rows.append([[values[name] for name in names] for values in seen])
    return rows


def _folder() -> Path:
    return cache_folder() / "cases"


@cache
def _key() -> str:
    """Digest of all that the observables depend on."""
    digest = hashlib.sha256(f"{FORMAT} {__version__} {SEVERITIES} {PAIR_SEVERITIES}".encode())
    package = Path(__file__).parents[2]
    files = [
        *asset("faults").glob("*.yaml"),
        asset("fluids", f"{FLUID}.yaml"),
        *(asset("plants", f"{name}.yaml") for name in sorted(set(PLANTS.values()))),
    ]
    files += [asset("filters", f"{name}.yaml") for name in FILTERS.values()]
    files += [p for part in PARTS for p in (package / part).rglob("*.py")]
    for path in sorted(files, key=lambda p: p.as_posix()):
        digest.update(path.name.encode() + path.read_bytes())
    return digest.hexdigest()[:20]


def _read(path: Path, kind: str, layout: Place) -> Atlas | None:
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as kept:
            codes, names = tuple(kept["codes"].tolist()), tuple(kept["names"].tolist())
            pairs, square = tuple(kept["pairs"].tolist()), kept["pair_values"]
            found = Atlas(kind, layout, codes, names, kept["values"], kept["healthy"], pairs, square)
    except Exception:  # whatever is wrong with a cache file, the answer is to work it out anew
        return None
    return found if _good(found) else None


def _good(found: Atlas) -> bool:
    codes = tuple(fault.fault for fault in acting(found.kind, found.layout))
    shape = (len(codes), len(SEVERITIES), len(found.names))
    pairs = tuple(joined(*pair) for pair in pairs_acting(found.kind, found.layout))
    square = (len(pairs), len(PAIR_SEVERITIES), len(PAIR_SEVERITIES), len(found.names))
    fits = found.codes == codes and found.values.shape == shape and found.healthy.shape == shape[2:]
    fits = fits and found.pairs == pairs and found.pair_values.shape == square
    numbers = (found.values, found.healthy, found.pair_values)
    return bool(fits and all(np.isfinite(array).all() for array in numbers))


def _write(path: Path, made: Atlas) -> None:
    """Write beside, then move into place: a reader never meets half a file. No cache is no fault."""
    try:
        with whole(path) as file:
            np.savez(
                file,
                codes=np.array(made.codes),
                names=np.array(made.names),
                values=made.values,
                healthy=made.healthy,
                pairs=np.array(made.pairs, dtype=str),
                pair_values=made.pair_values,
            )
    except OSError:
        return
