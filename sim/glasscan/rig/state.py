"""The frozen state of a rig, the vector it starts from, and how exactly each of its numbers is stepped."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.stocks import Stocks
from glasscan.faults.schedule import Courses
from glasscan.rig import esdirk
from glasscan.rig import state_index as at
from glasscan.rig.bypass_valve import BRISTLE_M, rest_lift_m
from glasscan.rig.controls import Controls
from glasscan.rig.event_detection import EventWatch
from glasscan.rig.handle import Handle
from glasscan.rig.params import si_params
from glasscan.rig.pleat_state import Pleats
from glasscan.rig.records import Event
from glasscan.rig.setup import RigSetup
from glasscan.rig.supply import overfull_m3

Floats = NDArray[np.float64]
GAS = 1e-4  # tolerated error per step of the entropy of an accumulator's gas: as much of its pressure
LEAK_M3 = 1e-5  # tolerated error per step of the oil lost


@dataclass(frozen=True)
class State:
    """Everything that decides the rig's future.

    Attributes:
        t_s: model time, s.
        y: state vector, see `glasscan.rig.state_index`.
        controls: present settings.
        done: how many lines of the timeline have been applied.
        watch: sides of the event marks.
        events: so far.
        segment_r: (K,) resistance of the segments with the deposit of the last step, pleats at rest, 1/m3.
        memory: of the integrator.
        dirt: where the contaminant is.
        pleats: shape of the pleats, and what it does to those resistances.
        calm: True while a chattering valve is averaged out (time lapse).
        courses: how far each fault to come has come.
        handle: of a filter with a scraper, and what its turning has done.
        unloaded: True while the unloading valve lets the pump idle.
    """

    t_s: float
    y: Floats
    controls: Controls
    done: int
    watch: EventWatch
    events: tuple[Event, ...]
    segment_r: Floats
    memory: esdirk.Memory
    dirt: Stocks
    pleats: Pleats
    calm: bool = False
    courses: Courses = ()
    handle: Handle = field(default_factory=Handle)
    unloaded: bool = False


def tolerances(setup: RigSetup) -> Floats:
    """Tolerated error per step of each implicit number; see `glasscan.rig.state_index` for the order."""
    p, network = si_params(setup.plant), setup.network
    valve = network.valve
    travel = valve.max_lift_m if valve else 1e-3
    pressure_pa, warm_k = 200.0, 5e-3
    can = network.dirty_volume_m3 / p.can_bulk_pa * pressure_pa
    gallery = p.gallery_m3 / p.can_bulk_pa * pressure_pa
    return np.array(
        [can, gallery, 5e-4 * travel, 0.05, 0.05 * BRISTLE_M, 5e-4 * p.reg_max_m, pressure_pa]
        + [warm_k] * 5
        + [LEAK_M3]
        + ([GAS] if p.acc_gas_m3 > 0.0 else [])
    )


def start_vector(setup: RigSetup) -> Floats:
    """State vector at time zero, see `glasscan.rig.state_index`, (N,): a rig that has come to rest.

    The valve lies on its seat with the whole force of its spring. A full filter bears the head of the
    passages behind it, so that nothing flows back; one that lacks oil, or stands over empty passages, seeps.
    """
    p = si_params(setup.plant)
    y = np.zeros(at.SIZE)
    y[at.CAN] = (setup.can_fill - 1.0) * setup.network.dirty_volume_m3
    y[at.GALLERY] = (setup.gallery_fill - 1.0) * p.gallery_m3
    rise_pa = setup.gallery_fill * p.gallery_head_pa - p.can_head_pa
    if setup.can_fill >= 1.0 and rise_pa > 0.0:
        can_m3 = setup.network.dirty_volume_m3
        y[at.CAN] = overfull_m3(rise_pa, can_m3, p.air_ratio * can_m3, p.can_bulk_pa)
    y[at.LIFT] = rest_lift_m(setup.network.valve) if setup.network.valve else 0.0
    y[at.REG] = p.reg_jam_m
    y[at.T_SUMP : at.T_BLOCK + 1] = setup.start_c
    y.setflags(write=False)
    return y
