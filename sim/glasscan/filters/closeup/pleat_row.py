"""A row of pleats in the plane of pleat depth (x) and the direction across the pleats (y), solved.

The row repeats, so one unit is enough: half a dirty channel (open at x = 0, the outer end), the medium, and
half a clean channel (open at x = length, the inner end). Both channels are creeping flow by the project's own
Stokes solver; the medium between them is K pieces, each with the Darcy resistance of medium and deposit. Only
a dense system of K fluxes remains; fields are sums of basis fields times fluxes.

What is a model here: the pleats stand side by side (on the real element they fan out), the folds themselves
let nothing through, the deposit lies on the medium as an even cake over each piece (none inside the medium),
and panels bend as clamped strips of plate (see `physics.panels`). Channels are drawn, and solved, as narrow
as cake and bending make them, to the nearest half cell.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.closeup.channel import gaps_of, snapped, solved_channel
from glasscan.filters.closeup.closeup_data import PleatsFile, pleats_file
from glasscan.filters.filter_data import ElementData
from glasscan.flow.basis import Basis
from glasscan.flow.grid import Floats
from glasscan.laws.panels import Row, bent

PIECES = 20
ROUNDS = 24  # of flow and bending in turn; a row that pinches shut needs the most
RELAX = 0.5  # share of a bending step taken: a narrowing channel raises its own load
SETTLED = 0.02  # of the half channel: bending nearer than this to its end is left
GROWTH = 0.25  # of the wall's resistance: largest part of a load laid down at once


@dataclass(frozen=True)
class PleatState:
    """What a row remembers.

    Attributes:
        deposit_kg_m2: (K,) dry mass on a unit of medium, from the outer end inwards.
        bend_m: (K,) deflection of the medium towards the clean side.
    """

    deposit_kg_m2: Floats
    bend_m: Floats


@dataclass(frozen=True)
class PleatFlow:
    """Flow of a moment.

    Attributes:
        dp_pa: from the mouth of the dirty channel to that of the clean one.
        piece_m2_s: (K,) flow through each piece of one panel, per unit height.
        flux_m_s: (K,) the same per area of medium.
        across_pa: (K,) pressure across medium and deposit.
        dirty_pa, clean_pa: (K,) pressure at the two faces over that at the clean mouth.
    """

    dp_pa: float
    piece_m2_s: Floats
    flux_m_s: Floats
    across_pa: Floats
    dirty_pa: Floats
    clean_pa: Floats


@dataclass(frozen=True)
class ChannelField:
    """Fields of one half channel, y from its middle plane.

    Attributes:
        y_edges_m: (ny+1,) cell edges.
        gap_m: (K,) half width as solved.
        pressure_pa: (nx, ny), NaN outside the oil.
        u_m_s: (nx+1, ny) velocity along x on faces across x.
        v_m_s: (nx, ny+1) velocity away from the middle plane on faces across y.
    """

    y_edges_m: Floats
    gap_m: Floats
    pressure_pa: Floats
    u_m_s: Floats
    v_m_s: Floats


@dataclass(frozen=True)
class PleatFrame:
    """Everything to draw of one moment; pressures gauge, Pa.

    Attributes:
        x_edges_m: (nx+1,) cell edges along the depth.
        dirty, clean: fields of the two half channels.
        flow: fluxes and pressures of the pieces.
        flow_m2_s: flow of a pleat pair per unit height.
        bend_m, cake_m: (K,) deflection of the medium, thickness of the deposit.
        wall_share: (K,) share of the pressure across a piece that the medium takes, the deposit the rest.
        inlet_pa, outlet_pa: at the mouths.
        touching: (K,) pieces where the panels of a clean channel press on each other.
        filled: (K,) pieces where deposit and medium leave the dirty channel no width.
        collapsed: the panels keep the shape that a collapse gave them.
        at_rest_m: half width of a channel, thickness of the medium.
    """

    x_edges_m: Floats
    dirty: ChannelField
    clean: ChannelField
    flow: PleatFlow
    flow_m2_s: float
    bend_m: Floats
    cake_m: Floats
    wall_share: Floats
    inlet_pa: float
    outlet_pa: float
    touching: NDArray[np.bool_]
    filled: NDArray[np.bool_]
    collapsed: bool
    at_rest_m: tuple[float, float]

    @property
    def unit_m(self) -> float:
        """From the middle of a dirty channel to that of the next clean one, m, as at rest."""
        return self.at_rest_m[0] * 2 + self.at_rest_m[1]

    def surfaces(self, x_m: Floats) -> Floats:
        """(3, n) heights over the middle of the dirty channel: cake, dirty and clean face of the medium, m.

        The pieces are joined smoothly here, for drawing; the folds hold the ends of the medium.
        """
        half, medium = self.at_rest_m
        length = float(self.x_edges_m[-1])
        places = (np.arange(len(self.bend_m)) + 0.5) * length / len(self.bend_m)
        bend = np.interp(x_m, [0.0, *places, length], [0.0, *self.bend_m, 0.0])
        face = half + bend
        return np.stack([face - np.interp(x_m, places, self.cake_m), face, face + medium])


class PleatRow:
    """A repeating row of pleat channels that loads, narrows and pinches.

    Args:
        element: sizes of the pleated element.
        extra: deposit and stiffness; the shipped file by default.

    Attributes:
        state: what it remembers; may be kept and set again.
        times: mean resistance of medium and deposit over the clean one, as the plant has it; None = by the
            deposit's own law.
    """

    def __init__(self, element: ElementData, extra: PleatsFile | None = None) -> None:
        self.element, self.extra = element, extra or pleats_file()
        self.length_m, self.half_m = element.depth_m, element.channel_m / 2
        self.medium_m = element.medium_mm * 1e-3
        self.wall_1_m = self.medium_m / element.permeability_m2
        self.piece_m = self.length_m / PIECES
        self.room_m = self.half_m - self.extra.paper.least_channel_um * 1e-6
        if self.room_m <= 0:
            raise ValueError("the channels are narrower than the embossing of the paper")
        least, rigidity = self.half_m - self.room_m, self.extra.paper.rigidity_n_m(self.medium_m)
        self._panels = Row.of(self.half_m, self.length_m, self.wall_1_m, least, rigidity, PIECES)
        self.state = PleatState(np.zeros(PIECES), np.zeros(PIECES))
        self._kept_pa, self._kept_m = 0.0, np.zeros(PIECES)
        self.times: float | None = None

    @property
    def unit_m(self) -> float:
        """Distance from the middle of a dirty channel to that of the next clean one, m."""
        return 2 * self.half_m + self.medium_m

    @property
    def cake_m(self) -> Floats:
        """(K,) thickness of the deposit, mass over bulk density, m."""
        return self.state.deposit_kg_m2 / self.extra.cake.bulk_kg_m3

    @property
    def mean_deposit_kg_m2(self) -> float:
        """Deposit over the whole panel, kg/m2."""
        return float(self.state.deposit_kg_m2.mean())

    def pair_flow_m2_s(self, segment_m3s: float) -> float:
        """Flow of one pleat pair per unit height from that of one element segment, m2/s."""
        return segment_m3s * self.element.segments / (self.element.pleats * self.element.height_m)

    def resistance_1_m(self) -> Floats:
        """(K,) resistance of medium and deposit, 1/m: thickness over permeability + alpha x mass per area.

        Where `times` is set, the deposit resists in proportion to its mass so that the mean is that.
        """
        load = self.state.deposit_kg_m2
        if self.times is None:
            return self.wall_1_m + self.extra.cake.alpha_m_kg * load
        mean = float(load.mean())
        shape = load / mean if mean > 0 else np.ones(PIECES)
        return np.asarray(self.wall_1_m * (1.0 + (self.times - 1.0) * shape))

    def gaps_m(self) -> tuple[Floats, Floats]:
        """(K,) half widths left open: dirty and clean channel, m."""
        dirty = self.half_m + self.state.bend_m - self.cake_m
        return dirty, self.half_m - self.state.bend_m

    def chambers(self) -> tuple[Basis, Basis]:
        """Solved half channels for the present gaps."""
        dirty, clean = (snapped(g, self.half_m) for g in self.gaps_m())
        return (
            solved_channel(dirty, self.half_m, self.length_m, False),
            solved_channel(clean, self.half_m, self.length_m, True),
        )

    def flow(self, flow_m2_s: float, mu_pa_s: float) -> PleatFlow:
        """Fluxes through the pieces with the channels as they stand.

        Args:
            flow_m2_s: flow of a pair per unit height; each of its two panels takes half.
            mu_pa_s: viscosity.
        """
        dirty, clean = (basis.matrix[1:, 1:] for basis in self.chambers())
        wall = self.resistance_1_m() / self.piece_m
        per_pa = np.linalg.solve(dirty + clean + np.diag(wall), np.ones(PIECES))
        q = per_pa * (flow_m2_s / 2 / per_pa.sum())
        dp = mu_pa_s * flow_m2_s / 2 / float(per_pa.sum())
        return PleatFlow(
            dp, q, q / self.piece_m, mu_pa_s * wall * q, dp - mu_pa_s * dirty @ q, mu_pa_s * clean @ q
        )

    def settle(self, flow_m2_s: float, mu_pa_s: float) -> PleatFlow:
        """Let the panels bend under the pressure across them until flow and bending agree."""
        for _ in range(ROUNDS):
            found = self.flow(flow_m2_s, mu_pa_s)
            change = self._bent(found)[0] - self.state.bend_m
            if np.abs(change).max() < SETTLED * self.half_m:
                break
            self.state = replace(self.state, bend_m=self.state.bend_m + RELAX * change)
        return self.flow(flow_m2_s, mu_pa_s)

    @property
    def kept_pa(self) -> float:
        """Load whose shape the panels keep since a collapse, Pa; 0 where there was none."""
        return self._kept_pa

    def keep(self, load_pa: float) -> None:
        """Let the panels keep the shape that a load has given them, Pa; 0 for pleats that spring back."""
        if load_pa != self._kept_pa:
            self._kept_pa, self._kept_m = load_pa, self._panels.settled(1.0, load_pa)[0]

    def _bent(self, found: PleatFlow) -> tuple[Floats, Floats]:
        bend, contact = bent(self._panels.compliance_m_pa, found.across_pa, self.room_m)
        return np.maximum.reduce([bend, self._kept_m, self.cake_m - self.room_m]), contact

    def load(self, flow_m2_s: float, time_s: float, solids_kg_m3: float, capture: float) -> float:
        """Let dirty oil pass for a time; returns the mass caught by a pair per unit height, kg/m.

        Args:
            flow_m2_s: flow of a pair per unit height.
            time_s: how long.
            solids_kg_m3: dirt in the oil that arrives.
            capture: share of it that the medium keeps, 0..1.
        """
        mass = solids_kg_m3 * capture * flow_m2_s * time_s
        if not mass >= 0.0:
            raise ValueError(f"dirt, flow and time must not be negative, got a mass of {mass:g} kg/m")
        self._lay(mass / 2)
        return mass

    def load_to(self, mean_kg_m2: float) -> None:
        """Bring the deposit to a mean, kg/m2, as clean oil channels would have filled: from now, or anew."""
        if mean_kg_m2 < self.mean_deposit_kg_m2 * (1 - 1e-9):
            self.state = replace(self.state, deposit_kg_m2=np.zeros(PIECES))
        self._lay(max(mean_kg_m2 - self.mean_deposit_kg_m2, 0.0) * self.length_m)

    def _lay(self, mass_kg_m: float) -> None:
        """Lay a mass on one panel where the flux is, in parts small beside what already resists."""
        left = mass_kg_m
        while left > 0:
            mean = self.resistance_1_m().mean() / self.extra.cake.alpha_m_kg
            part = min(left, GROWTH * float(mean) * self.length_m)
            q = self.flow(1.0, 1.0).piece_m2_s
            grown = self.state.deposit_kg_m2 + part * q / q.sum() / self.piece_m
            self.state = replace(self.state, deposit_kg_m2=grown)
            left = left - part if part < left else 0.0

    def frame(self, flow_m2_s: float, mu_pa_s: float, outlet_pa: float = 0.0) -> PleatFrame:
        """Settle and compose the fields of a moment.

        Args:
            flow_m2_s: flow of a pair per unit height.
            mu_pa_s: viscosity.
            outlet_pa: pressure at the inner end of the clean channel, gauge.
        """
        found = self.settle(flow_m2_s, mu_pa_s)
        dirty, clean = self.chambers()
        half, q = np.array([flow_m2_s / 2]), found.piece_m2_s
        gap_d, gap_c = self.gaps_m()
        field_d = _field(dirty, np.concatenate([half, -q]), mu_pa_s, outlet_pa + found.dp_pa)
        field_c = _field(clean, np.concatenate([-half, q]), mu_pa_s, outlet_pa)
        least = self.extra.paper.least_channel_um * 1e-6
        return PleatFrame(
            x_edges_m=dirty.chamber.grid.x,
            dirty=replace(field_d, gap_m=gaps_of(snapped(gap_d, self.half_m), self.half_m)),
            clean=replace(field_c, gap_m=gaps_of(snapped(gap_c, self.half_m), self.half_m)),
            flow=found,
            flow_m2_s=flow_m2_s,
            bend_m=self.state.bend_m,
            cake_m=self.cake_m,
            wall_share=self.wall_1_m / self.resistance_1_m(),
            inlet_pa=outlet_pa + found.dp_pa,
            outlet_pa=outlet_pa,
            touching=self._bent(found)[1] > 0,
            filled=gap_d <= least,
            collapsed=self.kept_pa > 0,
            at_rest_m=(self.half_m, self.medium_m),
        )


def _field(basis: Basis, flows: Floats, mu_pa_s: float, mouth_pa: float) -> ChannelField:
    """Fields of one half channel for the flows into its ports (mouth first)."""
    grid = basis.chamber.grid
    nx, ny = grid.shape
    velocity, pressure = basis.fields(flows)
    n_x = basis.chamber.numbers.n_x
    return ChannelField(
        y_edges_m=grid.y,
        gap_m=np.zeros(0),
        pressure_pa=mouth_pa + mu_pa_s * pressure.reshape(nx, ny),
        u_m_s=velocity[:n_x].reshape(nx + 1, ny),
        v_m_s=velocity[n_x:].reshape(nx, ny + 1),
    )
