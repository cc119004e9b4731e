"""Unloading valve and accumulator against closed forms: Boyle, adiabatic gas, time of a cycle, idle power."""

from __future__ import annotations

from math import exp

import numpy as np
import pytest
from glasscan.laws import gas_charge
from glasscan.learning.catalogue import load_fluid, load_plant
from glasscan.rig.params import AIR_PA, si_params
from glasscan.rig.plant_data import PlantData
from glasscan.rig.rig import Rig
from glasscan.rig.run_log import RunLog
from glasscan.rig.runner import run
from glasscan.rig.setup import RigSetup

from tests.contaminant.standin import shipped

FLUID = "mil-prf-5606-class"


def setup_of(end_s: float = 40.0, **accumulator: float) -> RigSetup:
    """The older plant, warm, line full, with numbers of its accumulator changed."""
    data = load_plant("hydraulic-unloader").model_dump()
    data["accumulator"].update(accumulator)
    return RigSetup(
        load_fluid(FLUID), shipped("disc-stack"), PlantData.model_validate(data),
        oil_c=45.0, air_c=20.0, gallery_fill=1.0, rpm=3600.0, end_s=end_s,
    )  # fmt: skip


def moments(log: RunLog, word: str) -> list[float]:
    """Moments of an event, s."""
    return [event.t_s for event in log.events if event.word == word]


def fluid_l(log: RunLog, t_s: float) -> float:
    """Fluid in the accumulator at a moment, L."""
    return float(np.interp(t_s, log.times_s, log.trace["accumulator"]))


@pytest.mark.parametrize(("tau_s", "power"), [(1e7, 1.4), (0.02, 1.0)])
def test_the_first_charge_is_that_of_the_gas_law(tau_s: float, power: float) -> None:
    """Fluid taken up from the charge to 1,500 psi: `V0 (1 - (P0/P)^(1/n))`, n 1.4 or, by Boyle, 1."""
    rig = Rig(setup_of(tau_s=tau_s))
    while not any(event.word == "pump-unloads" for event in rig.events):
        rig.step(0.01)
    p = si_params(rig.setup.plant)
    closed = p.acc_gas_m3 * (1.0 - (p.acc_charge_pa / (p.unload_pa + AIR_PA)) ** (1.0 / power))
    assert rig.snapshot().readings["accumulator_m3"] == pytest.approx(closed, rel=2e-3)


def test_with_a_real_time_constant_it_lies_between() -> None:
    """A gas that exchanges some heat takes less than by Boyle and more than without heat (thermodynamics)."""
    log = run(setup_of(12.0))
    p = si_params(load_plant("hydraulic-unloader"))
    ratio = p.acc_charge_pa / (p.unload_pa + AIR_PA)
    low, high = (1e3 * p.acc_gas_m3 * (1.0 - ratio ** (1.0 / n)) for n in (1.4, 1.0))
    assert low < fluid_l(log, moments(log, "pump-unloads")[0]) < high


def test_the_idle_time_is_the_closed_form() -> None:
    """Gas as warm as its wall, laminar clearances: `t = mu V0 P0 / (2 b) (1/P1^2 - 1/P2^2)`.

    From Boyle `V = V0 P0/P` and `dV/dt = b p/mu`; gauge and absolute pressure differ by 1 per cent, the
    fluid's own elasticity gives 1 per cent more.
    """
    setup = setup_of(40.0, tau_s=0.02)
    rig = Rig(setup)
    rig.advance_to(40.0)
    idle = next(e.t_s for e in rig.events if e.word == "pump-unloads" and e.t_s > 20.0)
    works = next((e.t_s for e in rig.events if e.word == "pump-loads" and e.t_s > idle), None)
    assert works is not None
    p = si_params(setup.plant)
    mu = setup.fluid.mu_pa_s(rig.snapshot().readings["bearing_c"])
    low, high = p.load_pa + AIR_PA, p.unload_pa + AIR_PA
    closed = mu * p.acc_gas_m3 * p.acc_charge_pa / (2.0 * p.bearing_m3) * (low**-2 - high**-2)
    assert works - idle == pytest.approx(closed, rel=0.04)


def test_a_lost_charge_makes_the_cycle_short() -> None:
    """Boyle: the fluid between two pressures is in proportion to the charge."""
    long, short = (run(setup_of(40.0, charge_kpa=kpa, tau_s=0.02)) for kpa in (4137.0, 1000.0))
    spans = []
    for log in (long, short):
        ups = moments(log, "pump-unloads")
        spans.append(ups[-1] - ups[-2])
    assert spans[1] / spans[0] == pytest.approx((1000.0 + 101.3) / (4137.0 + 101.3), rel=0.1)


def test_an_idling_pump_takes_little_power_and_no_filter_flow() -> None:
    """Idle: 0.35 MPa times the swept flow, a thirtieth of the work at 1,500 psi; the check valve is shut."""
    rig = Rig(setup_of())
    rig.advance_to(10.0)
    s = rig.snapshot()
    assert s.readings["idles"] == 1.0
    assert s.readings["unloaded_m3s"] == pytest.approx(s.pump_m3s, rel=1e-12)
    assert abs(s.element_m3s) < 1e-3 * s.pump_m3s
    assert abs(s.dp_pa) < 50.0


def test_the_books_close_over_every_switch() -> None:
    """Volume: pumped = returned + held, the accumulator's fluid in the line; rounding only."""
    log = run(setup_of(40.0))
    assert len(moments(log, "pump-unloads")) >= 4
    assert log.ledger.volume_error_rel < 1e-12
    assert log.ledger.mass_error_rel < 1e-10


def test_smaller_steps_tell_the_same() -> None:
    """Convergence: the third switch moves less and less as the tolerances tighten."""
    third = []
    for accuracy in (1.0, 0.1, 0.01):
        rig = Rig(setup_of(), accuracy)
        rig.advance_to(25.0)
        third.append([e.t_s for e in rig.events if e.word.startswith("pump-")][2])
    assert abs(third[1] - third[2]) < 0.01
    assert abs(third[0] - third[2]) < 0.06  # a switch is told to 10 ms, and each waits for the last


def test_the_law_of_the_gas_inverts_and_keeps_its_limits() -> None:
    """`gas_pa` and `fluid_m3` are inverse; no heat: `p V^1.4` stays; its slope is the derivative."""
    gas, charge, entropy = 2.5e-3, 4.2e6, 0.07
    for fluid in (1e-5, 1e-3, 2e-3):
        pressure = gas_charge.gas_pa(fluid, gas, charge, entropy)
        assert gas_charge.fluid_m3(pressure, gas, charge, entropy) == pytest.approx(fluid, rel=1e-12)
        assert pressure * (gas - fluid) ** 1.4 == pytest.approx(charge * gas**1.4 * exp(entropy))
        bump = 1e-6 * pressure
        low, high = (gas_charge.fluid_m3(pressure + d, gas, charge, entropy) for d in (-bump, bump))
        slope = gas_charge.fluid_slope(pressure, gas, charge, entropy)
        assert (high - low) / (2 * bump) == pytest.approx(slope, rel=1e-6)
    assert gas_charge.fluid_m3(0.5 * charge, gas, charge) == 0.0
