"""A settled point told as the running rig tells a moment, for laws that take that."""

from __future__ import annotations

from glasscan.faults.settled import Settled
from glasscan.faults.steady_state import SteadyState
from glasscan.rig.algebraic import Moment, Parts
from glasscan.rig.filter_flow import minor_coefficient
from glasscan.rig.oil_tables import oil_table
from glasscan.rig.supply import relief_m3s


def parts_of(bench: SteadyState) -> Parts:
    """The rig's parts as the running rig has them."""
    setup = bench.setup
    return Parts(
        params=bench.p,
        oil=oil_table(setup.fluid),
        valve=bench.valve,
        condenser=bench.condenser,
        inertia_m4=minor_coefficient(setup.network),
        before=bench.before,
        calm_n_s_m=0.0,
        can_m3=setup.network.dirty_volume_m3,
        drain_m3=0.0,
        hole=setup.network.hole,
    )


def moment_of(bench: SteadyState, settled: Settled) -> Moment:
    """Pressures and flows of a settled point."""
    swept, jets = bench.swept_m3s_now(settled.can_pa), bench.jets_m3s(settled.gallery_pa)
    flow, paths = bench.flows(settled.dp_pa, settled.lift_m)
    return Moment(
        rpm=bench.rpm,
        mu_filter=bench.mu,
        rho=bench.rho,
        can_pa=settled.can_pa,
        gallery_pa=settled.gallery_pa,
        swept=swept,
        slip=swept - settled.pump_m3s,
        relief=relief_m3s(bench.p, settled.can_pa),
        drain_back=0.0,
        regulator=settled.regulator_m3s,
        bearings=settled.engine_m3s - jets,
        jets=jets,
        paths=paths,
        flows=flow,
        throat_m2=bench.valve.area_m2(settled.lift_m) if bench.valve else 0.0,
        sump_m3=bench.p.sump_m3,
        leak=settled.leak_m3s,
    )
