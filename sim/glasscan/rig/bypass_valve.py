"""The bypass valve as a moving part: forces on it, and the throat it opens.

Force balance on the lift: pressure on the seat area, spring, steady flow force, oil film, guide friction,
seat and stop. The guide friction follows Dahl's law (P. R. Dahl, 1968): a bristle that bends a little
before it slips. It holds at rest without creeping, so cracking and reseating pressures differ however slowly
one passes.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import asin, cos, degrees, pi, radians, sin, sqrt

from glasscan.filters.network import ValveSpec
from glasscan.laws.orifice import orifice_drop_pa
from glasscan.laws.seats import ball_area_m2, cone_area_m2
from glasscan.rig.network_flow import SEAT_ROUND_M
from glasscan.rig.records import ValveForces
from glasscan.rig.smooth import smooth_positive

SEAT_N_M = 1e7  # stiffness of seat and stop in contact; invented, stiff enough to yield about 1 um
BRISTLE_M = 2e-6  # travel before the guide slips, invented
GUIDE_RATIO = 100.0  # guide length over clearance, times circumference: film drag, common practice
COLUMN_D = 2.0  # length of the oil column that moves with the valve, seat diameters, invented
LAND_M, LAND_FILM_M = 0.3e-3, 20e-6  # width of the seat's land and its roughest film, invented


@dataclass(frozen=True, slots=True)
class BypassValve:
    """A valve made ready for stepping: areas and angles worked out once."""

    spec: ValveSpec
    seat_m2: float
    half_deg: float
    cosine: float
    sine: float

    @classmethod
    def of(cls, spec: ValveSpec) -> BypassValve:
        """Work out the angles; a ball meets its seat along a tangent cone."""
        half = spec.half_angle_deg
        if spec.ball_d_m is not None:
            half = 90.0 - degrees(asin(min(spec.seat_d_m / spec.ball_d_m, 0.999)))
        return cls(spec, spec.seat_area_m2, half, cos(radians(half)), sin(radians(half)))

    def area_m2(self, lift_m: float) -> float:
        """Throat area, leak included, m2."""
        lift = smooth_positive(lift_m, SEAT_ROUND_M)
        seat_d_m, ball_d_m = self.spec.seat_d_m, self.spec.ball_d_m
        if ball_d_m is not None:
            return self.spec.leak_area_m2 + ball_area_m2(seat_d_m, lift, ball_d_m)
        return self.spec.leak_area_m2 + cone_area_m2(seat_d_m, lift, self.half_deg)

    def throat(self, area_m2: float, rho: float) -> float:
        """`a` of the inertial drop `a q |q|` at the throat; its creeping drop is in the solved paths."""
        return orifice_drop_pa(self.spec.cd, area_m2, 1.0, rho)

    def drag_n_s_m(self, lift_m: float, jet_m_s: float, mu: float, rho: float) -> float:
        """Drag per speed, N s/m: shear in the guide, squeeze film on the land, column of oil in the bore.

        Opening faster asks the column for more flow; accelerating it costs pressure on the seat,
        `rho L (dq/dlift) v` (transient flow force, Merritt 1967 ch. 5).
        """
        film = LAND_FILM_M + max(lift_m, 0.0)
        rim = pi * self.spec.seat_d_m
        column = rho * COLUMN_D * self.spec.seat_d_m * rim * self.sine * abs(jet_m_s)
        return float(mu * rim * (GUIDE_RATIO + (LAND_M / film) ** 3)) + column

    def forces(
        self,
        lift_m: float,
        bristle_m: float,
        jet_pa: float,
        q_m3s: float,
        jet_m_s: float,
        rho: float,
        push_n: float = 0.0,
    ) -> ValveForces:
        """Static forces, N, opening positive.

        Args:
            lift_m, bristle_m: where the valve and its friction stand.
            jet_pa: inertial drop at the throat.
            q_m3s, jet_m_s: flow and mean velocity in the throat.
            rho: density, kg/m3.
            push_n: creeping pressure on the faces of the valve.
        """
        spec = self.spec
        return ValveForces(
            pressure_n=jet_pa * self.seat_m2 + push_n,
            spring_n=-(spec.preload_n + spec.rate_n_m * lift_m),
            flow_n=-rho * q_m3s * jet_m_s * self.cosine,
            friction_n=-spec.friction_n * bristle_m / BRISTLE_M,
            seat_n=SEAT_N_M
            * (
                smooth_positive(spec.jam_lift_m - lift_m, SEAT_ROUND_M)
                - smooth_positive(lift_m - spec.max_lift_m, SEAT_ROUND_M)
            ),
        )

    def motion(
        self, speed: float, bristle_m: float, drag_n_s_m: float, forces: ValveForces
    ) -> tuple[float, float, float]:
        """Rates of lift, speed and bristle."""
        push = forces.pressure_n + forces.spring_n + forces.flow_n + forces.friction_n + forces.seat_n
        drag = (drag_n_s_m + self._contact_n_s_m(abs(forces.seat_n))) * speed
        return speed, (push - drag) / self.spec.mass_kg, speed - abs(speed) * bristle_m / BRISTLE_M

    def _contact_n_s_m(self, seat_n: float) -> float:
        """Damping of seat and stop, a quarter of critical and fading out with the contact force, N s/m."""
        yielded = seat_n / SEAT_N_M
        return 0.5 * sqrt(SEAT_N_M * self.spec.mass_kg) * yielded / (yielded + SEAT_ROUND_M)


def rest_lift_m(spec: ValveSpec) -> float:
    """Lift at which the seat carries the spring with no pressure about: a trifle below the seat, m."""
    yielded = (spec.preload_n + spec.rate_n_m * spec.jam_lift_m) / SEAT_N_M
    return spec.jam_lift_m - yielded


def bristle_slopes(speed: float, bristle_m: float, sign: float) -> tuple[float, float]:
    """Derivatives of the bristle's rate by speed and by bristle, for motion in the direction of `sign`."""
    return 1.0 - sign * bristle_m / BRISTLE_M, -abs(speed) / BRISTLE_M
