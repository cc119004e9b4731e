"""Couplings between laws: whose viscosity, whose column of oil (each survived as a mutant once)."""

import numpy as np
import pytest
from glasscan.rig import state_index as at
from glasscan.rig.algebraic import evaluate
from glasscan.rig.bypass_valve import BypassValve
from glasscan.rig.rig import Rig
from glasscan.rig.supply import regulator_m3s

from tests.rig.standin import SAE50, VALVE, setup


@pytest.mark.parametrize(("place", "part"), [("after", at.T_GALLERY), ("before", at.T_FILTER)])
def test_the_regulator_meets_the_oil_of_its_place(place, part):
    """After the filter it spills the gallery's oil, before it the filter's: that viscosity sets its flow."""
    rig = Rig(setup(regulator=place, rpm=900.0))
    y = rig.state.y.copy()
    y[[at.CAN, at.GALLERY]], y[at.REG] = 1e-6, 1e-4
    y[[at.T_SUMP, at.T_FILTER, at.T_GALLERY]] = 70.0, 40.0, 5.0
    moment, p = evaluate(rig.parts(), y.tolist(), 900.0), rig.parts().params
    sensed = moment.can_pa if place == "before" else moment.gallery_pa
    told = regulator_m3s(p, float(y[at.REG]), sensed, SAE50.mu_pa_s(float(y[part])), moment.rho)
    assert moment.regulator == pytest.approx(told, rel=1e-3)


def test_the_oil_column_resists_the_valve():
    """Transient flow force `rho L (dq/dlift) v` (Merritt 1967 ch. 5), L two seat diameters."""
    valve, rho, jet = BypassValve.of(VALVE), 880.0, 3.0
    still, moving = (valve.drag_n_s_m(1e-3, v, 0.05, rho) for v in (0.0, jet))
    per_lift = np.pi * VALVE.seat_d_m * np.sin(np.radians(VALVE.half_angle_deg)) * jet
    assert moving - still == pytest.approx(rho * 2.0 * VALVE.seat_d_m * per_lift, rel=1e-12)
