"""One gap of a stacked-disc filter seen along the axis: dirt at its rim, combed off as the disc turns.

Everything is kept in the frame of the disc: sectors of deposit turn with it, the fixed blade comes round.
Sector k spans k to k+1 steps of rising angle; the blade stands at the angle `blade_rad` of the disc.

What is a model here: the deposit lies at the mouth of the gap as an even cake over each sector, outwards from
the rim, with a Kozeny-Carman resistance; the oil meets it radially. A blade takes its share off a sector when
the middle of the sector passes it. The width of the separator's arms is worked out so that they and the blade
cost the clean gap what the stack's `open_fraction` says, so this gap and the plant's agree.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import brentq

from glasscan.filters.closeup.closeup_data import DiscsFile, discs_file
from glasscan.filters.closeup.gap_flow import GapFlow, Ring, solve_gap
from glasscan.filters.filter_data import DiscStackData
from glasscan.flow.grid import Floats
from glasscan.laws.combing import SECTORS, TURN
from glasscan.laws.discs import gap_viscous_drop_pa

RINGS = 24
LEAST_BAND = 1e-3  # of the gap's height: a thinner band counts as none
GROWTH = 0.2  # of the gap's resistance: largest part of a load laid down at once


@dataclass(frozen=True)
class BladeState:
    """Condition of a scraper blade and its drive.

    Attributes:
        worn: lost part of its bite, 0 (sharp) .. 1 (takes nothing off).
        bent: part of the gap's height that a bent blade never touches, 0..1: there a band of dirt stays.
        slip: part of the handle's angle that a slipping drive loses, 0..1.
    """

    worn: float = 0.0
    bent: float = 0.0
    slip: float = 0.0

    @property
    def missed(self) -> float:
        """Part of the height missed, without slivers thinner than LEAST_BAND."""
        return round(self.bent) if min(self.bent, 1 - self.bent) < LEAST_BAND else self.bent

    def __post_init__(self) -> None:
        for name in ("worn", "bent", "slip"):
            if not 0.0 <= getattr(self, name) <= 1.0:
                raise ValueError(f"{name} must lie between 0 and 1, got {getattr(self, name):g}")


@dataclass(frozen=True)
class DiscState:
    """What a disc face remembers.

    Attributes:
        reached_kg, missed_kg: (sectors,) deposit in the band the blade reaches and in the band it does not.
        turned_rad: angle the disc has turned since the start.
        caught_kg, removed_kg: since the start.
    """

    reached_kg: Floats
    missed_kg: Floats
    turned_rad: float = 0.0
    caught_kg: float = 0.0
    removed_kg: float = 0.0


@dataclass(frozen=True)
class DiscFrame:
    """Everything to draw of one moment, in the frame of the disc.

    Attributes:
        ring: the grid.
        open_share: (sectors, nr) open part of each cell.
        pressure_pa: (sectors, nr) gauge, NaN inside walls.
        inward_m3s: (sectors, nr+1) flow across ring lines.
        around_m3s: (sectors, nr) flow into the next sector.
        outer_pa, inner_pa: in the bowl and in the hollow centre, gauge.
        cake_m: (2, sectors) thickness of the deposit in the band the blade reaches, in the band it misses.
        missed_share: part of the gap's height that the blade misses.
        turned_rad, blade_rad: angle of the disc, and of the blade as the disc sees it.
    """

    ring: Ring
    open_share: Floats
    pressure_pa: Floats
    inward_m3s: Floats
    around_m3s: Floats
    outer_pa: float
    inner_pa: float
    cake_m: Floats
    missed_share: float
    turned_rad: float
    blade_rad: float


class DiscFace:
    """One annular gap that loads with dirt and is combed by turning the disc.

    Args:
        data: the stacked-disc filter.
        extra: deposit, separator and blade; the shipped file by default.
        blade: condition of blade and drive.

    Attributes:
        state: what it remembers; may be kept and set again.
    """

    def __init__(
        self, data: DiscStackData, extra: DiscsFile | None = None, blade: BladeState | None = None
    ) -> None:
        self.data, self.extra, self.blade = data, extra or discs_file(), blade or BladeState()
        stack = data.stack
        self.gap_m = stack.gap_um * 1e-6
        self.ro_m, self.ri_m = stack.outer_radius_mm * 1e-3, stack.inner_radius_mm * 1e-3
        self.arm_outer_m = min(self.extra.separator.arm_outer_mm * 1e-3, self.ro_m)
        self.tip_m = min(self.arm_outer_m + self.extra.blade.clearance_mm * 1e-3, self.ro_m)
        self.ring = Ring(_radii(self.ri_m, self.ro_m, (self.arm_outer_m, self.tip_m)), SECTORS, self.gap_m)
        self.state = DiscState(np.zeros(SECTORS), np.zeros(SECTORS))
        self._solved: tuple[DiscState, BladeState, GapFlow] | None = None
        self.arm_rad = self._arm_width(stack.open_fraction)
        self.alpha_m_kg = self.extra.cake.alpha_m_kg

    @property
    def mouth_m2(self) -> float:
        """Area of one sector's deposit at the rim, m2: it arches over the gap and the edges of both discs."""
        return self.ro_m * self.ring.step_rad * max(self.gap_m, self.data.stack.rim.ring_mm * 1e-3)

    @property
    def cake_by_sector(self) -> Floats:
        """(sectors,) deposit, kg."""
        return self.state.reached_kg + self.state.missed_kg

    @property
    def held_kg(self) -> float:
        """Deposit on the whole rim, kg."""
        return float(self.cake_by_sector.sum())

    @property
    def blade_rad(self) -> float:
        """Angle of the fixed blade as the turning disc sees it, 0..2 pi."""
        return float(-self.state.turned_rad % TURN)

    @property
    def resistance(self) -> float:
        """Outer pressure over viscosity and flow of the gap, 1/m3."""
        return self.solution().resistance_1_m3

    @property
    def clean_law_1_m3(self) -> float:
        """What the gap law says of the clean gap, `6 ln(ro/ri)/(pi h^3)` over the open fraction, 1/m3."""
        whole = gap_viscous_drop_pa(self.gap_m, self.ro_m, self.ri_m, 1.0, 1.0)
        return whole / self.data.stack.open_fraction

    def match(self, times: float) -> None:
        """Let the deposit resist as much as the plant says: the gap's resistance over the clean one."""
        mass = float((self.state.reached_kg + self.state.missed_kg).sum())
        alpha = self.extra.cake.alpha_m_kg
        if mass > 0:
            alpha = (times - 1.0) * self.clean_law_1_m3 * (SECTORS * self.mouth_m2) ** 2 / mass
        if alpha != self.alpha_m_kg:
            self.alpha_m_kg, self._solved = alpha, None

    def cake_m(self) -> Floats:
        """(2, sectors) thickness of the deposit in the reached and in the missed band, m."""
        bent = self.blade.missed
        area = self.mouth_m2 * np.array([[1.0 - bent], [bent]]) * self.extra.cake.bulk_kg_m3
        mass = np.stack([self.state.reached_kg, self.state.missed_kg])
        return np.asarray(np.divide(mass, area, out=np.zeros_like(mass), where=area > 0))

    def load(self, mass_kg: float) -> None:
        """Lay down dirt where the oil flows: less where the deposit already holds it back.

        Raises:
            ValueError: a negative mass.
        """
        if not mass_kg >= 0.0:
            raise ValueError(f"the mass must not be negative, got {mass_kg:g} kg")
        left = mass_kg
        scale = max(self.alpha_m_kg, self.extra.cake.alpha_m_kg) / (SECTORS * self.mouth_m2) ** 2
        while left > 0:
            part = min(left, GROWTH * self.resistance / scale)
            self._lay(part)
            left = left - part if part < left else 0.0

    def _lay(self, mass_kg: float) -> None:
        sector = self.solution().inward[:, -1]
        sector = sector / sector.sum()
        reached = self._reached_share()
        old = self.state
        self.state = replace(
            old,
            reached_kg=old.reached_kg + mass_kg * sector * reached,
            missed_kg=old.missed_kg + mass_kg * sector * (1 - reached),
            caught_kg=old.caught_kg + mass_kg,
        )

    def _reached_share(self) -> Floats:
        """(sectors,) part of a sector's flow that enters through the band the blade reaches."""
        bent, thick = self.blade.missed, self.cake_m()
        one, other = (1 - bent) * thick[1], bent * thick[0]
        both = one + other
        return np.asarray(np.divide(one, both, out=np.full(SECTORS, 1.0 - bent), where=both > 0))

    def turn(self, angle_rad: float) -> float:
        """Turn the handle on; returns the mass combed off, kg.

        Args:
            angle_rad: of the handle, forwards; a slipping drive turns the disc by less.

        Raises:
            ValueError: a negative angle.
        """
        if not angle_rad >= 0.0:
            raise ValueError(f"turn the handle forwards only, got {angle_rad:g} rad")
        old = self.state
        end = old.turned_rad + angle_rad * (1 - self.blade.slip)
        kept = (1 - self.data.scraper.cleared_per_turn * (1 - self.blade.worn)) ** self._passes(end)
        reached = old.reached_kg * kept
        removed = float((old.reached_kg - reached).sum())
        self.state = replace(old, reached_kg=reached, turned_rad=end, removed_kg=old.removed_kg + removed)
        return removed

    def _passes(self, end_rad: float) -> Floats:
        """(sectors,) how often the middle of each sector passes the blade on the way to an angle."""
        first = TURN - self.ring.angles_rad
        before = np.floor((self.state.turned_rad - first) / TURN)
        return np.asarray(np.floor((end_rad - first) / TURN) - before)

    def solution(self) -> GapFlow:
        """Flow of the gap as it stands, for 1 m3/s over the viscosity."""
        if self._solved is None or self._solved[0] is not self.state or self._solved[1] != self.blade:
            found = solve_gap(self.ring, self.open_share(self.arm_rad), self.rim_1_m3())
            self._solved = (self.state, self.blade, found)
        return self._solved[2]

    def rim_1_m3(self) -> Floats:
        """(sectors,) resistance of the deposit, `alpha m/A^2`, the two bands side by side, 1/m3."""
        alpha, bent = self.alpha_m_kg, self.blade.missed
        if bent in (0.0, 1.0):
            return np.asarray(alpha * self.cake_by_sector / self.mouth_m2**2)
        area = self.mouth_m2 * np.array([[1.0 - bent], [bent]])
        band = alpha * np.stack([self.state.reached_kg, self.state.missed_kg]) / area**2
        both = band.sum(axis=0)
        return np.asarray(np.divide(band.prod(axis=0), both, out=np.zeros(SECTORS), where=both > 0))

    def open_share(self, arm_rad: float) -> Floats:
        """(sectors, nr) open part of each cell with arms of a width and the blade where it stands."""
        r = self.ring.r_mid_m
        arms = self.extra.separator.arms
        shut = np.zeros((SECTORS, RINGS))
        for k in range(arms if arm_rad > 0 else 0):
            shut += np.outer(self._covered(TURN * (k + 0.5) / arms, arm_rad), r < self.arm_outer_m)
        blade = np.radians(self.data.scraper.blade_width_deg)
        shut += np.outer(self._covered(self.blade_rad, blade), r > self.tip_m)
        return np.asarray(np.clip(1.0 - shut, 0.0, 1.0))

    def _covered(self, middle_rad: float, width_rad: float) -> Floats:
        """(sectors,) part of each sector that lies within a width about an angle."""
        step = self.ring.step_rad
        off = (self.ring.angles_rad - middle_rad + np.pi) % TURN - np.pi
        low = np.maximum(off - step / 2, -width_rad / 2)
        return np.asarray(np.clip(np.minimum(off + step / 2, width_rad / 2) - low, 0.0, None) / step)

    def _arm_width(self, open_fraction: float) -> float:
        """Width of one arm for which the clean gap costs what the open fraction says, rad, or 0."""
        clean = np.zeros(SECTORS)

        def excess(arm_rad: float) -> float:
            found = solve_gap(self.ring, self.open_share(arm_rad), clean)
            return found.resistance_1_m3 / self.clean_law_1_m3 - 1.0

        most = 0.98 * TURN / self.extra.separator.arms
        if excess(0.0) >= 0.0:
            return 0.0
        if excess(most) <= 0.0:
            raise ValueError(f"arms this short cannot shut the gap to an open fraction of {open_fraction:g}")
        return float(brentq(excess, 0.0, most, xtol=1e-5))

    def fields(self, flow_m3s: float, mu_pa_s: float, inner_pa: float = 0.0) -> DiscFrame:
        """Pressures and flows of the gap for its flow of the moment.

        Args:
            flow_m3s: flow of this one gap, inwards.
            mu_pa_s: viscosity.
            inner_pa: pressure in the hollow centre, gauge.
        """
        found = self.solution()
        return DiscFrame(
            ring=self.ring,
            open_share=self.open_share(self.arm_rad),
            pressure_pa=inner_pa + mu_pa_s * flow_m3s * found.pressure,
            inward_m3s=flow_m3s * found.inward,
            around_m3s=flow_m3s * found.around,
            outer_pa=inner_pa + mu_pa_s * flow_m3s * found.resistance_1_m3,
            inner_pa=inner_pa,
            cake_m=self.cake_m(),
            missed_share=self.blade.missed,
            turned_rad=self.state.turned_rad,
            blade_rad=self.blade_rad,
        )


def _radii(ri_m: float, ro_m: float, marks: tuple[float, ...]) -> Floats:
    """RINGS + 1 radii, evenly spaced but for the ones nearest to each mark, which are moved onto it."""
    edges = np.linspace(ri_m, ro_m, RINGS + 1)
    for mark in marks:
        if ri_m < mark < ro_m:
            k = int(np.argmin(np.abs(edges[1:-1] - mark))) + 1
            edges[k] = mark
    return edges
