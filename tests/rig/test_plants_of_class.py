"""Plants true to their class: what is fitted, how large the stack is, what the pressure asks of the metal."""

import numpy as np
import pytest
from glasscan.laws.pressure_joint import CLASS_88_PA, bolts_for, hoop_pa
from glasscan.learning.catalogue import load_filter, load_fluid, load_plant
from glasscan.rig.runner import run
from glasscan.rig.setup import RigSetup

from tests.contaminant.standin import shipped
from tests.learning.playing import shipped_run

PSI = 6.894757
STEEL_PA, PROOF = 250e6, 1.5


def test_engines_in_aircraft_carry_no_button() -> None:
    """Light piston engines and radials have no differential indicator; the test stands have (MEMORY)."""
    fitted = {n: load_plant(n).indicator.fitted for n in ("piston-single", "radial-lube")}
    assert not any(fitted.values())
    assert all(load_plant(n).indicator.fitted for n in ("piston-test-stand", "radial-test-stand"))


def test_the_stack_has_the_gaps_of_a_real_one() -> None:
    """100 to 200 gaps (common practice), cake ring within one pitch (geometry)."""
    data = load_filter("disc-stack").stack
    assert 100 <= data.gaps <= 200
    assert data.rim.ring_mm * 1e-3 < data.pitch_m


def test_a_clean_stack_takes_little_hot_and_does_not_bypass() -> None:
    """Radial at 1,800 rev/min: 2 to 5 psi hot (common practice), shut below the oil-in of 60 to 75 degC."""
    log = shipped_run("between-the-discs")
    assert 2.0 * PSI < np.interp(10.0, log.times_s, log.trace["dp"]) < 5.0 * PSI
    mild = RigSetup(
        load_fluid("sae-60-mineral"),
        shipped("disc-stack"),
        load_plant("radial-lube"),
        oil_c=57.0,
        air_c=20.0,
        gallery_fill=1.0,
        rpm=1800.0,
        end_s=6.0,
    )
    assert run(mild).trace["lift"].max() == pytest.approx(0.0, abs=1e-3)


def test_a_compensated_pump_sends_what_is_taken() -> None:
    """Relief valve shut, system pressure near its rating, flow that of the motor (definition of the type)."""
    log = shipped_run("twenty-psi")
    at = {name: float(np.interp(40.0, log.times_s, log.trace[name])) for name in log.trace}
    assert at["regulator_flow"] < 0.05
    assert at["gauge"] == pytest.approx(1500.0 * PSI, rel=0.05)
    assert at["pump_flow"] == pytest.approx(at["bearing_flow"], rel=0.05)


@pytest.mark.parametrize(
    ("name", "plant"),
    [("cartridge-bowl", "piston-single"), ("disc-stack", "radial-lube"), ("disc-stack", "hydraulic-1500")],
)
def test_bowl_and_bolts_hold_the_pressure(name: str, plant: str) -> None:
    """p A at proof over the bolts, hoop stress under mild steel's yield (statics; strengths MEMORY)."""
    house, rig = load_filter(name).housing, load_plant(plant)
    pressure = max(rig.regulator.set_kpa, 0.0) * 1e3
    across = 2e-3 * (house.bowl_radius_mm + house.bowl_wall_mm / 2)
    need = bolts_for(pressure, across, house.bolt_mm * 1e-3, house.bolt_pitch_mm * 1e-3, CLASS_88_PA)
    assert house.bolts >= need
    assert hoop_pa(PROOF * pressure, house.bowl_radius_mm * 1e-3, house.bowl_wall_mm * 1e-3) < STEEL_PA


def test_its_bolts_are_not_enough_at_3000_psi() -> None:
    """The count is evidence of the pressure: twice the pressure, twice the bolts."""
    assert bolts_for(20.7e6, 0.086, 8e-3, 1.25e-3) > 11
