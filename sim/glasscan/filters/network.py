"""What the plant needs to know of a filter: resistances between its ports, per unit viscosity."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.element_capture import DirtSide, plain_medium
from glasscan.filters.panel_table import PanelLaw
from glasscan.filters.path_table import PathTable

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class MinorLoss:
    """An inertial loss `dp = k rho (q/area)^2 / 2` in series with one port.

    Attributes:
        name: what makes it, e.g. "inlet holes".
        k: loss coefficient on the velocity in `area`, dimensionless.
        area_m2: flow area, m2.
        where: "inlet" (whole flow, dirty side), "outlet" (whole flow, clean side).
    """

    name: str
    k: float
    area_m2: float
    where: str

    def drop_pa(self, flow_m3s: float, rho_kg_m3: float) -> float:
        """Pressure lost at a flow, Pa, with the sign of the flow."""
        return self.k * rho_kg_m3 * flow_m3s * abs(flow_m3s) / (2 * self.area_m2**2)


@dataclass(frozen=True)
class ValveSpec:
    """A spring-loaded bypass valve (poppet or ball), geometry and spring in SI units.

    Attributes:
        seat_d_m: seat diameter, m.
        half_angle_deg: half angle of the cone (90 = flat disc), degrees; unused for a ball.
        ball_d_m: ball diameter, m, or None for a poppet.
        rate_n_m: spring rate, N/m.
        preload_n: spring force with the valve shut, N.
        max_lift_m: lift at the stop, m.
        mass_kg: moving mass, kg.
        cd: discharge coefficient of the fully turbulent jet, dimensionless.
        leak_area_m2: leak area with the valve shut, m2.
        friction_n: Coulomb friction of the guide, N: what makes cracking and reseating differ.
        jam_lift_m: lift below which something holds the valve off its seat, m; 0 = it can shut.
    """

    seat_d_m: float
    half_angle_deg: float
    ball_d_m: float | None
    rate_n_m: float
    preload_n: float
    max_lift_m: float
    mass_kg: float
    cd: float
    leak_area_m2: float
    friction_n: float
    jam_lift_m: float = 0.0

    @property
    def seat_area_m2(self) -> float:
        """Area of the seat bore, m2."""
        return float(np.pi * self.seat_d_m**2 / 4)

    @property
    def cracking_pa(self) -> float:
        """Differential pressure that just lifts the valve (statics, friction opposing), Pa."""
        return (self.preload_n + self.friction_n) / self.seat_area_m2


@dataclass(frozen=True)
class ElementHole:
    """An opening through or round the medium, beside one segment: a tear, an unbonded cap, a dry spigot ring.

    Attributes:
        segment: index of the segment it lies beside, 0 = nearest the base.
        area_m2: open area, m2.
        cd: turbulent discharge coefficient, dimensionless.
    """

    segment: int
    area_m2: float
    cd: float = 0.62


@dataclass(frozen=True)
class FilterNetwork:
    """A filter as the plant sees it: creeping paths through K element segments and past them.

    Attributes:
        paths: chambers and valve at each solved lift, see `PathTable`.
        segment_area_m2: (K,) filtering area of the medium behind each segment, m2.
        segment_r: (K,) clean resistance of medium and pleat channels, 1/m3: dp = mu * segment_r * q.
        valve: the bypass valve, or None where the filter has none.
        losses: inertial losses at the ports.
        dirty_volume_m3, clean_volume_m3: oil held by each side, m3.
        rating_um: size at which the medium's beta is quoted, um.
        hole: an opening past the medium, or None in a sound element.
        panels: how its pleats bend, stay bent and part under pressure; None where there are none.
        dirt: how it catches dirt, scrapes, and holds oil back at rest; None = a plain paper of its rating.
        kept: share of the dirty side that lies below its way in, as it hangs, and stays there at rest, 0..1.
    """

    paths: PathTable
    segment_area_m2: Floats
    segment_r: Floats
    valve: ValveSpec | None
    losses: tuple[MinorLoss, ...]
    dirty_volume_m3: float
    clean_volume_m3: float
    rating_um: float
    hole: ElementHole | None = None
    dirt: DirtSide | None = None
    panels: PanelLaw | None = None
    kept: float = 0.0

    @property
    def dirt_side(self) -> DirtSide:
        """How it deals with dirt."""
        return self.dirt or plain_medium(self.rating_um)

    @property
    def segments(self) -> int:
        """Number K of element segments."""
        return len(self.segment_r)

    def loss_pa(self, where: str, flow_m3s: float, rho_kg_m3: float) -> float:
        """Inertial loss of the whole flow at "inlet" or "outlet", Pa."""
        return sum(loss.drop_pa(flow_m3s, rho_kg_m3) for loss in self.losses if loss.where == where)
