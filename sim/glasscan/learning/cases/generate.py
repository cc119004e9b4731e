"""A case from a seed: layout, fault, severity, what the flight line noted. Undecidable draws are refused.

The same seed gives the same fault at every level. The level changes reading errors, the number of suspects
and the help; at the last level a fault that has partners may come with one of them.
"""

from __future__ import annotations

import zlib
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from glasscan.faults.apply import combined
from glasscan.faults.fault_data import Fault, faults, joined, partners
from glasscan.faults.observables import Values, observe, subject_of
from glasscan.learning.cases.atlas import Atlas, Say, atlas, sound_rig
from glasscan.learning.cases.case_rig import cured
from glasscan.learning.cases.likelihood import Result, draw, log_likelihood
from glasscan.learning.cases.solver import DOUBLE_SHARE, Field, decidable
from glasscan.learning.cases.test_menu import Test, menu
from glasscan.rig.setup import Place, RigSetup

ERRORS = {1: 0.7, 2: 1.0, 3: 1.4}
"""Factor on reading errors by level (invented); a case must be decidable at the hardest."""
SHORT_LIST = 8
"""Suspects of the first level (invented)."""
FIT_WEIGHT = 1.0
"""How much a suspect's fit with what was noted counts against luck in the short list (invented)."""
DOUBLE_LEVEL = 3
"""Level from which double faults occur."""
LEAST_RUN_KPA, MOST_LEAK_ML_MIN = 50.0, 500.0
"""A rig that shows less pressure at hot idle, or loses more oil, must not be run for a test (invented)."""
TRIES = 200
_COMPLAINT = 7919  # stream of random numbers of the complaint
_SECOND = 6007  # stream of random numbers of the second fault
_LIST = 5003  # stream of random numbers of the short list


class NoCaseError(RuntimeError):
    """No decidable case was found for a seed: a fault of the data."""


@dataclass(frozen=True)
class Hidden:
    """What only the generator and the verdict know.

    Attributes:
        seed, kind, layout: of the case.
        fault, severity: what is wrong.
        values: true observables.
        complaint: what the flight line noted, one number for each reading.
        refused: codes drawn before that no available test separates.
        second, second_severity: fault that stands beside it, or None.
    """

    seed: int
    kind: str
    layout: Place
    fault: Fault
    severity: float
    values: Values
    complaint: Result
    refused: tuple[str, ...] = ()
    second: Fault | None = None
    second_severity: float = 0.0

    @property
    def ill(self) -> tuple[tuple[Fault, float], ...]:
        """All that is wrong, with severities, in order of the code."""
        first = ((self.fault, self.severity),)
        both = first if self.second is None else (*first, (self.second, self.second_severity))
        return tuple(sorted(both, key=lambda pair: pair[0].fault))

    @property
    def code(self) -> str:
        """Code of the verdict that is right, such as "F06" or "F01+F06"."""
        return joined(*(fault for fault, _ in self.ill))

    @property
    def title(self) -> str:
        """The same in words."""
        return " and ".join(fault.title for fault, _ in self.ill)

    @property
    def runnable(self) -> bool:
        """Whether the rig may be run for a test."""
        return may_run(self.complaint)

    def result(self, test: Test, level: int, new_filter: bool = False) -> Result:
        """Result of a test: the same whenever it is ordered in this case, on the same filter.

        Args:
            test: which.
            level: sets the reading errors.
            new_filter: a new filter with its seal is on the rig: what that cures is gone.
        """
        stream = np.random.default_rng([self.seed, zlib.crc32(test.test.encode())])
        values = with_new_filter(self) if new_filter else self.values
        return draw(values, test.reads, stream, ERRORS[level])


@lru_cache(maxsize=64)
def _swapped(seed: int, kind: str, layout: Place, code: str, rest: tuple[tuple[str, float], ...]) -> Values:
    del seed, code
    if not rest:
        return atlas(kind, layout).baseline
    ill = [(faults()[name], severity) for name, severity in rest]
    return observe(subject_of(ill, sound_rig(kind, layout)))


def with_new_filter(hidden: Hidden) -> Values:
    """True observables of a case's rig with a new filter on it."""
    rest = tuple((f.fault, s) for f, s in hidden.ill if not cured(change.set for change in f.changes))
    return _swapped(hidden.seed, hidden.kind, hidden.layout, hidden.code, rest)


def after_repair(hidden: Hidden, mended: tuple[str, ...]) -> Values:
    """True observables once some faults are mended: what the operational check reads."""
    rest = tuple((f.fault, s) for f, s in hidden.ill if f.fault not in mended)
    return _swapped(hidden.seed, hidden.kind, hidden.layout, hidden.code, rest)


def may_run(complaint: Result) -> bool:
    """Whether what the flight line noted allows running the rig."""
    noted = dict(zip((reading.what for reading in menu().complaint), complaint, strict=True))
    enough = noted["gauge_idle_kpa"] >= LEAST_RUN_KPA
    return enough and noted["leak_cruise_ml_min"] <= MOST_LEAK_ML_MIN


@lru_cache(maxsize=32)
def field(kind: str, layout: Place, level: int, runnable: bool) -> Field:
    """Tests and sheets of a level, made once; all suspects of the level."""
    return Field(atlas(kind, layout), ERRORS[level], runnable, doubles=level >= DOUBLE_LEVEL)


@lru_cache(maxsize=16)
def _cut_short(kind: str, layout: Place, level: int, runnable: bool, among: tuple[str, ...]) -> Field:
    return field(kind, layout, level, runnable).narrowed(among)


def field_for(hidden: Hidden, level: int) -> Field:
    """Tests, sheets and suspects of a case at a level."""
    place = hidden.kind, hidden.layout, level, hidden.runnable
    return field(*place) if level > min(ERRORS) else _cut_short(*place, short_list(hidden))


def short_list(hidden: Hidden) -> tuple[str, ...]:
    """Suspects of the first level: the fault, and others drawn so that those which fit come more often.

    The draw looks at what was noted, never at the fault: so the list does not single out its one sure member.
    """
    every = field(hidden.kind, hidden.layout, min(ERRORS), hidden.runnable)
    fit = log_likelihood(every.complaint, hidden.complaint).max(axis=1) * FIT_WEIGHT
    luck = np.random.default_rng([hidden.seed, zlib.crc32(hidden.kind.encode()), _LIST]).gumbel(size=len(fit))
    drawn = dict(zip(every.atlas.suspects, (fit + luck).tolist(), strict=True))
    others = sorted((c for c in every.suspects if c != hidden.fault.fault), key=lambda c: -drawn[c])
    return tuple(sorted([hidden.fault.fault, *others[: SHORT_LIST - 1]]))


def generate(seed: int, kind: str, say: Say | None = None, level: int = 2) -> Hidden:
    """The case of a seed.

    Args:
        seed: which.
        kind: of filter.
        say: told when something takes long.
        level: from the last level on, a second fault may stand beside the first.

    Raises:
        NoCaseError: nothing decidable in many draws.
    """
    rng = np.random.default_rng([seed, zlib.crc32(kind.encode())])
    layout: Place = "after" if rng.random() < 0.5 else "before"
    chart = atlas(kind, layout, say) if say else atlas(kind, layout)
    refused: list[str] = []
    for _ in range(TRIES):
        drawn = _drawn(seed, chart, rng, tuple(refused))
        if _decidable(drawn):
            return drawn if level < DOUBLE_LEVEL else _with_second(drawn)
        refused.append(drawn.fault.fault)
    raise NoCaseError(f"seed {seed}: no decidable case in {TRIES} draws")


def _decidable(drawn: Hidden) -> bool:
    return decidable(field_for(drawn, max(ERRORS)), drawn.code, drawn.values)


def rigs(hidden: Hidden) -> tuple[RigSetup, RigSetup]:
    """The rig of a case with its fault, and without: for a run and its counterfactual."""
    sound = sound_rig(hidden.kind, hidden.layout)
    return combined(hidden.ill, sound), sound


def _drawn(seed: int, chart: Atlas, rng: np.random.Generator, refused: tuple[str, ...]) -> Hidden:
    weight = np.array([faults()[code].prior for code in chart.codes])
    code = chart.codes[int(rng.choice(len(weight), p=weight / weight.sum()))]
    severity = float(rng.random())
    bare = Hidden(seed, chart.kind, chart.layout, faults()[code], severity, {}, (), refused)
    return _observed(bare, len(refused))


def _observed(bare: Hidden, draw_number: int) -> Hidden:
    """A case with its true observables and what the flight line noted."""
    values = observe(subject_of(bare.ill, sound_rig(bare.kind, bare.layout)))
    stream = np.random.default_rng([bare.seed, _COMPLAINT, draw_number])
    return replace(bare, values=values, complaint=draw(values, menu().complaint, stream))


def _with_second(drawn: Hidden) -> Hidden:
    """The case with a partner of its fault, where one is drawn and the two can be told from all else."""
    rng = np.random.default_rng([drawn.seed, _SECOND])
    others = partners(drawn.fault, drawn.kind, drawn.layout)
    if not others or rng.random() >= DOUBLE_SHARE:
        return drawn
    second = others[int(rng.integers(len(others)))]
    severity = float(rng.random())
    both = _observed(replace(drawn, second=second, second_severity=severity), len(drawn.refused))
    return both if _decidable(both) else replace(drawn, refused=(*drawn.refused, both.code))
