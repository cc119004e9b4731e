"""The same run without its fault, from the start or from any moment: what the fault alone has done."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.stocks import Stocks
from glasscan.rig.esdirk import Memory
from glasscan.rig.rig import FIRST_STEP_S, Rig
from glasscan.rig.setup import RigSetup
from glasscan.rig.state import State
from glasscan.rig.trace import Trace

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Ghost:
    """Two runs side by side.

    Attributes:
        from_s: moment at which the fault was taken away in the second run, s.
        times_s: (N,) moments, s.
        with_fault, without: column name -> (N,) values in the units of `glasscan.rig.trace.UNITS`; the same
            up to `from_s`.
    """

    from_s: float
    times_s: Floats
    with_fault: dict[str, Floats]
    without: dict[str, Floats]


def mended(state: State, sound: RigSetup, faulty: RigSetup | None = None) -> Rig:
    """A sound rig that goes on from the state of a faulty one: oil, dirt, temperatures stay as they are.

    Args:
        state: of the faulty rig.
        sound: the setup without the fault; same filter, same size classes.
        faulty: the setup it began with: cake and sludge that the fault had brought from the start are taken
            out. None leaves them where they are.

    Raises:
        ValueError: the two rigs do not have the same parts.
    """
    rig = Rig(sound)
    if rig.state.dirt.held.shape != state.dirt.held.shape:
        raise ValueError("the two rigs differ in more than a fault")
    dirt = state.dirt if faulty is None else _without(state.dirt, Rig(faulty).start_dirt, rig.start_dirt)
    rig.state = replace(
        state,
        controls=replace(state.controls, plant=sound.plant, fluid=sound.fluid),
        segment_r=rig.element.resistance(dirt.held, dirt.sludge, state.pleats.across_pa),
        memory=Memory(FIRST_STEP_S),
        dirt=dirt,
        courses=rig.state.courses,
    )
    stirred = dirt.total - dirt.let_in - rig.start_dirt.total  # spread by the fault
    rig.start_dirt = replace(rig.start_dirt, suspended=rig.start_dirt.suspended + stirred)
    return rig


def _without(dirt: Stocks, ill: Stocks, well: Stocks) -> Stocks:
    """The dirt less what the ill rig began with beyond the well one, as far as it is still there."""
    held = np.maximum(dirt.held - (ill.held - well.held), 0.0)
    return replace(dirt, held=held, sludge=np.maximum(dirt.sludge - (ill.sludge - well.sludge), 0.0))


def ghost_run(faulty: RigSetup, sound: RigSetup, from_s: float, end_s: float, step_s: float = 0.5) -> Ghost:
    """Run a faulty rig to the end, and beside it the same rig mended at a moment.

    Args:
        faulty, sound: the two setups.
        from_s: moment of the mending, s; 0 = the fault was never there.
        end_s: length of the run, s.
        step_s: model time between two rows, s.

    Raises:
        ValueError: the moments are not in order.
        RigFailedError: one of the rigs cannot go on.
    """
    if not 0.0 <= from_s <= end_s or not step_s > 0.0:
        raise ValueError("expected 0 <= from_s <= end_s and step_s > 0")
    ill, trace = Rig(faulty), Trace()
    well = Rig(sound) if from_s == 0.0 else None
    other = Trace()
    trace.take(ill.snapshot())
    other.take((well or ill).snapshot())
    for t_s in _rows(from_s, end_s, step_s):
        ill.advance_to(t_s)
        if well is not None:
            well.advance_to(t_s)
        trace.take(ill.snapshot())
        other.take((well or ill).snapshot())
        if well is None and t_s == from_s:
            well = mended(ill.state, sound, faulty)
    return Ghost(from_s, np.array(trace.times_s), trace.columns(), other.columns())


def _rows(from_s: float, end_s: float, step_s: float) -> list[float]:
    """Moments of the rows: every step, the mending and the end."""
    steps = np.arange(1, int(end_s / step_s) + 1) * step_s
    return sorted({*steps[steps < end_s].tolist(), *(t for t in (from_s, end_s) if t > 0.0)})
