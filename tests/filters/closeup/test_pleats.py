"""The pleat row against closed forms, balances and the bending of clamped strips."""

from dataclasses import replace

import numpy as np
import pytest
from glasscan.filters.closeup.channel import gaps_of, snapped, solved_channel
from glasscan.filters.closeup.closeup_data import CakeData
from glasscan.filters.closeup.pleat_carriers import PleatCarriers
from glasscan.filters.closeup.pleat_row import PIECES, PleatRow, PleatState
from glasscan.laws.panels import bent, compliance
from glasscan.laws.pleats import pair_drop_pa
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.filters.closeup.conftest import element

FLOW = 8e-5  # m2/s: 20 L/min through 50 pleats of 84 mm


def _loaded(row, deposit):
    row.state = PleatState(np.broadcast_to(deposit, PIECES).astype(float), np.zeros(PIECES))
    return row


def test_a_clean_pair_drops_what_the_worked_example_says():
    """s 0.8 mm, L 20 mm, t 0.5 mm, k 1e-11 m2, 0.05 Pa s, 2.6e-5 m2/s: 2030.0 Pa by the closed form of two
    Poiseuille channels and a Darcy wall (COMPUTED, agrees with a boundary-value solve), 2 % allowed.
    """
    row = PleatRow(element())
    assert row.flow(2.6e-5, 0.05).dp_pa == pytest.approx(2030.00272, rel=0.02)


@pytest.mark.parametrize(
    ("channel_mm", "depth_mm", "medium_mm", "k_m2"),
    [(0.9, 16.0, 0.6, 1e-11), (0.4, 20.0, 0.5, 1e-10), (0.5, 12.0, 0.3, 2e-12)],
)
def test_clean_pairs_follow_the_closed_form(channel_mm, depth_mm, medium_mm, k_m2):
    """Thin channels from wall-ruled to channel-ruled: within 2 % of the closed form (see above)."""
    row = PleatRow(element(channel_mm, depth_mm, medium_mm, k_m2))
    closed = pair_drop_pa(channel_mm * 1e-3, depth_mm * 1e-3, medium_mm * 1e-3 / k_m2, 0.05, FLOW)
    assert row.flow(FLOW, 0.05).dp_pa == pytest.approx(closed, rel=0.02)


def test_the_brinkman_solver_gives_the_same_drop():
    """The two-dimensional pleat pair with a Brinkman medium (figure pleat-pair) agrees within 2 %."""
    from glasscan.flow.model_problems import pleat_pair_drop

    row = PleatRow(element())
    whole = pleat_pair_drop(0.8e-3, 20e-3, 0.5e-3, 1e-11, 16)
    assert row.flow(1.0, 1.0).dp_pa == pytest.approx(whole, rel=0.02)


@pytest.mark.parametrize("share", [1.0, 0.5, 0.2])
@pytest.mark.parametrize("mouth_at_end", [False, True])
def test_a_channel_with_even_suction_drops_as_creeping_flow_must(share, mouth_at_end):
    """Creeping flow with uniform suction: `(3 mu/h^3)(q0 x - q0 x^2/(2 L))` (Berman 1953 at wall Reynolds
    number 0), in a channel narrowed to a share of its width; 2 %.
    """
    half, length = 0.45e-3, 16e-3
    steps = snapped(np.full(PIECES, share * half), half)
    h = gaps_of(steps, half)[0]
    basis = solved_channel(steps, half, length, mouth_at_end)
    drop = basis.matrix[1:, 1:] @ np.full(PIECES, 1 / PIECES)
    x = (np.arange(PIECES) + 0.5) * length / PIECES
    exact = 3 / h**3 * (x - x**2 / (2 * length))
    ordered = drop[::-1] if mouth_at_end else drop
    assert ordered[2:] == pytest.approx(exact[2:], rel=0.02)


@settings(max_examples=8, deadline=None)
@given(st.lists(st.floats(0.15, 1.0), min_size=PIECES, max_size=PIECES))
def test_stepped_channels_obey_the_reciprocal_theorem(shares):
    """The port matrix of any stepped channel is symmetric and positive (Lorentz 1896)."""
    basis = solved_channel(snapped(np.array(shares) * 0.45e-3, 0.45e-3), 0.45e-3, 16e-3, False)
    assert np.abs(basis.matrix - basis.matrix.T).max() < 1e-9 * basis.matrix.max()
    assert np.linalg.eigvalsh(basis.matrix[1:, 1:]).min() > 0


@pytest.mark.parametrize("deposit", [0.0, 0.1, "uneven"])
def test_what_enters_a_pair_leaves_through_its_medium(can_element, deposit):
    """Twice the flow through the pieces of a panel is the flow of the pair, to rounding."""
    deposit = np.linspace(0.0, 0.3, PIECES) if deposit == "uneven" else deposit
    frame = _loaded(PleatRow(can_element), deposit).frame(FLOW, 0.05)
    assert 2 * frame.flow.piece_m2_s.sum() == pytest.approx(FLOW, rel=1e-12)
    for field, sign in ((frame.dirty, 1), (frame.clean, -1)):
        mouth = field.u_m_s[0 if sign > 0 else -1]
        assert 2 * (mouth * np.diff(field.y_edges_m)).sum() == pytest.approx(FLOW, rel=1e-9)


def test_pressures_of_the_pieces_add_up(can_element):
    """Across every piece: pressure at the dirty face less that at the clean face is Darcy's drop, to 1e-9."""
    found = PleatRow(can_element).flow(FLOW, 0.05)
    assert found.dirty_pa - found.clean_pa == pytest.approx(found.across_pa, rel=1e-9)


def test_the_deposit_holds_what_was_caught(can_element):
    """Concentration x capture x volume = deposit x area of both panels, to rounding."""
    row = PleatRow(can_element)
    mass = row.load(FLOW, 3600.0, 0.02, 0.95)
    assert mass == pytest.approx(0.02 * 0.95 * FLOW * 3600.0, rel=1e-12)
    held = 2 * (row.state.deposit_kg_m2 * row.piece_m).sum()
    assert held == pytest.approx(mass, rel=1e-12)


def test_a_mean_load_is_reached_and_forgotten(can_element):
    """Loading to a mean gives that mean, up or (after a rewind) down."""
    row = PleatRow(can_element)
    for mean in (0.05, 0.12, 0.03):
        row.load_to(mean)
        assert row.mean_deposit_kg_m2 == pytest.approx(mean, rel=1e-12)


def test_the_flow_moves_to_cleaner_pieces_by_itself(can_element):
    """Dirt on the outer half only: less flux there than inside, and the next dirt goes where it is clean."""
    row = _loaded(PleatRow(can_element), np.where(np.arange(PIECES) < PIECES // 2, 0.05, 0.0))
    flux = row.flow(FLOW, 0.05).flux_m_s
    assert flux[:8].max() < 0.5 * flux[-8:].min()
    before = row.state.deposit_kg_m2
    row.load(FLOW, 3600.0, 0.02, 1.0)
    grown = row.state.deposit_kg_m2 - before
    assert grown[-5:].min() > grown[:5].max()
    assert np.ptp(row.state.deposit_kg_m2) < np.ptp(before)


def test_specific_resistance_of_the_cake():
    """Kozeny-Carman `180 (1 - e)/(rho e^3 d^2)`: 0.4, 10 um, 2650 kg/m3 give 6.3679e9 m/kg (COMPUTED)."""
    cake = CakeData(porosity=0.4, grain_um=10.0, solid_kg_m3=2650.0, status="COMPUTED", source="test")
    assert cake.alpha_m_kg == pytest.approx(6.36792453e9, rel=1e-6)


def test_an_even_thin_deposit_adds_ruths_resistance(can_element):
    """Even deposit: the pair drops as one whose medium has Rm + alpha m (cake law of Ruth), within 2 %."""
    row = _loaded(PleatRow(can_element), 0.03)
    wall = row.wall_1_m + row.extra.cake.alpha_m_kg * 0.03
    closed = pair_drop_pa(2 * row.half_m, row.length_m, wall, 0.05, FLOW)
    assert row.flow(FLOW, 0.05).dp_pa == pytest.approx(closed, rel=0.02)


def test_the_cake_is_as_thick_as_its_mass_and_narrows_the_channel(can_element):
    """Thickness = mass/((1 - e) rho area); the dirty channel solved is narrower by it, to half a cell."""
    row = _loaded(PleatRow(can_element), 0.2)
    thick = 0.2 / (0.5 * 2650.0)
    assert row.cake_m == pytest.approx(np.full(PIECES, thick), rel=1e-12)
    gap = gaps_of(snapped(row.gaps_m()[0], row.half_m), row.half_m)
    assert gap == pytest.approx(np.full(PIECES, row.half_m - thick), abs=row.half_m / 48 * 1.001)


def test_a_channel_is_solved_again_only_for_another_shape():
    """Gaps that differ by less than a quarter cell share one solution; a full cell more does not."""
    half = 0.45e-3
    one = solved_channel(snapped(np.full(PIECES, 0.5 * half), half), half, 16e-3, False)
    near = solved_channel(snapped(np.full(PIECES, 0.505 * half), half), half, 16e-3, False)
    far = solved_channel(snapped(np.full(PIECES, 0.59 * half), half), half, 16e-3, False)
    assert near is one
    assert far is not one


def test_a_clamped_strip_bends_as_the_textbook_says():
    """Even load on a strip clamped at both ends: `p L^4/(384 D)` in the middle (Roark's Formulas), 1 %."""
    places, length, rigidity = (np.arange(41) + 0.5) / 41 * 0.016, 0.016, 0.06
    matrix = compliance(places, np.full(41, length / 41), length, rigidity)
    deflection = matrix @ np.full(41, 5e4)
    assert deflection.max() == pytest.approx(5e4 * length**4 / (384 * rigidity), rel=0.01)
    assert matrix == pytest.approx(matrix.T, rel=1e-12)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.floats(0.0, 1e6), min_size=PIECES, max_size=PIECES), st.floats(5e-5, 4e-4))
def test_panels_touch_but_never_pass_or_stick(pressures, room):
    """Contact: deflection within the room, contact pressure never a pull and only where the panels meet."""
    places = (np.arange(PIECES) + 0.5) / PIECES * 0.016
    matrix = compliance(places, np.full(PIECES, 0.016 / PIECES), 0.016, 0.06)
    bend, contact = bent(matrix, np.array(pressures), room)
    assert bend.max() <= room * (1 + 1e-9)
    assert contact.min() >= 0
    assert np.abs(contact * (room - bend)).max() <= 1e-6 * room * max(contact.max(), 1.0)
    assert bend == pytest.approx(matrix @ (np.array(pressures) - contact), abs=2e-3 * room)


def test_thicker_oil_pinches_the_clean_channels(can_element):
    """The drop rises more than the viscosity, the clean channel narrows, and at last the panels touch."""
    row, drops, widths, touching = PleatRow(can_element), [], [], []
    for mu in (0.02, 0.3, 0.6, 3.0):
        row.state = PleatState(np.zeros(PIECES), np.zeros(PIECES))
        frame = row.frame(FLOW, mu)
        drops.append(frame.flow.dp_pa / mu)
        widths.append(row.half_m - frame.bend_m.max())
        touching.append(bool(frame.touching.any()))
    assert drops == sorted(drops)
    assert drops[-1] > 1.5 * drops[0]
    assert widths == sorted(widths, reverse=True)
    assert touching[0] is False
    assert touching[-1] is True


def test_a_stiffer_paper_pinches_less(can_element, pleats_extra):
    """Ten times the modulus: less than a fifth of the bending at the same flow."""
    stiff = pleats_extra.model_copy(
        update={"paper": pleats_extra.paper.model_copy(update={"modulus_gpa": 30.0})}
    )
    soft, hard = (PleatRow(can_element, extra).frame(FLOW, 0.3) for extra in (pleats_extra, stiff))
    assert hard.bend_m.max() < 0.2 * soft.bend_m.max()


def test_the_pair_takes_its_share_of_the_segment(can_element):
    """Twelve segments of 1/12 of 20 L/min over 50 pleats of 84 mm: 7.9365e-5 m2/s (arithmetic)."""
    row = PleatRow(can_element)
    assert row.pair_flow_m2_s(20 / 60000 / 12) == pytest.approx(7.93651e-5, rel=1e-5)


def test_carriers_pass_from_the_dirty_to_the_clean_channel(can_element):
    """Moving oil stays in the unit, becomes filtered, starts again at the mouth; same seed, same places."""
    row = PleatRow(can_element)
    frame = row.frame(FLOW, 0.05)
    runs = []
    for _ in range(2):
        carriers = PleatCarriers(frame, 300, seed=4)
        born_dirty = carriers.kind == 0
        for _ in range(60):
            carriers.step(frame, 0.02)
        runs.append(carriers.positions_m)
    x, y = runs[0].T
    assert x.min() >= 0
    assert x.max() <= row.length_m
    assert y.min() >= 0
    assert y.max() <= row.unit_m
    assert (carriers.kind[born_dirty] == 1).any()
    assert (carriers.kind == 0).any()
    assert np.array_equal(*runs)


def test_carriers_spend_their_time_where_the_oil_is(can_element):
    """In steady divergence-free flow evenly spread points stay spread: dirty half, medium, clean half hold
    their shares of the area within 8 % of the whole after several passages.
    """
    row = PleatRow(can_element)
    frame = row.frame(FLOW, 0.05)
    carriers = PleatCarriers(frame, 2000, seed=1)
    for _ in range(150):
        carriers.step(frame, 0.02)
    share = np.histogram(carriers.positions_m[:, 1], [0, row.half_m, row.half_m + row.medium_m, row.unit_m])[
        0
    ]
    area = np.array([row.half_m, row.medium_m, row.half_m]) / row.unit_m
    assert share / 2000 == pytest.approx(area, abs=0.08)


def test_carriers_follow_oil_that_runs_back(can_element):
    """With the flow turned round (draining back) the marks stay in the unit and enter at the clean mouth."""
    row = PleatRow(can_element)
    frame = row.frame(-FLOW, 0.05)
    carriers = PleatCarriers(frame, 300, seed=4)
    for _ in range(100):
        carriers.step(frame, 0.02)
    x, y = carriers.positions_m.T
    assert x.min() >= 0
    assert x.max() <= row.length_m
    assert np.histogram(y, [0, row.unit_m / 2, row.unit_m])[0].min() > 80


def test_bad_loads_are_refused(can_element):
    """A negative mass or a channel narrower than the embossing is refused in plain words."""
    row = PleatRow(can_element)
    with pytest.raises(ValueError, match="must not be negative"):
        row.load(FLOW, -1.0, 0.02, 1.0)
    with pytest.raises(ValueError, match="embossing"):
        PleatRow(element(channel_mm=0.05, pleats=200))


def test_a_kept_state_gives_the_same_frame_again(can_element):
    """Setting an earlier state back gives the same numbers (rewind)."""
    row = PleatRow(can_element)
    row.load_to(0.05)
    row.settle(FLOW, 0.1)
    kept = row.state
    first = row.frame(FLOW, 0.1).flow.flux_m_s
    row.load_to(0.2)
    row.frame(FLOW, 0.5)
    row.state = replace(kept)
    assert np.array_equal(row.frame(FLOW, 0.1).flow.flux_m_s, first)
