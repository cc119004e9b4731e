"""The gap of a disc stack against lubrication theory, constriction resistance, and the books of its dirt."""

import numpy as np
import pytest
from glasscan.filters.closeup.disc_carriers import DiscCarriers, in_wall
from glasscan.filters.closeup.disc_face import SECTORS, TURN, BladeState, DiscFace
from glasscan.filters.closeup.gap_flow import Ring, solve_gap
from hypothesis import given, settings
from hypothesis import strategies as st

RO, RI, GAP = 0.02, 0.012, 0.000127


def _ring(sectors=SECTORS, rings=24):
    return Ring(np.linspace(RI, RO, rings + 1), sectors, GAP)


@pytest.fixture
def face(stack_data):
    """A clean face of the shipped stack."""
    return DiscFace(stack_data)


def test_an_open_gap_drops_what_the_worked_example_says():
    """h 127 um, ro 20 mm, ri 12 mm, 0.05 Pa s, 1e-6 m3/s: 23814.03 Pa by `6 mu Q ln(ro/ri)/(pi h^3)`
    (lubrication theory, textbook; COMPUTED).
    """
    ring = _ring()
    found = solve_gap(ring, np.ones((SECTORS, 24)), np.zeros(SECTORS))
    assert 0.05 * 1e-6 * found.resistance_1_m3 == pytest.approx(23814.0298, rel=1e-6)


def test_even_cake_stands_in_series_with_the_gap():
    """An even cake adds `alpha m/A^2` of the whole mouth (Ruth) to the gap law, to rounding."""
    ring = _ring()
    found = solve_gap(ring, np.ones((SECTORS, 24)), np.full(SECTORS, 3e11 * SECTORS))
    law = 6 * np.log(RO / RI) / (np.pi * GAP**3)
    assert found.resistance_1_m3 == pytest.approx(law + 3e11, rel=1e-9)


@pytest.mark.parametrize("open_fraction", [0.75, 0.5, 0.9])
def test_radial_barriers_cost_one_over_the_open_fraction(open_fraction):
    """Sectors shut from rim to hole multiply the drop by 1/f (Hele-Shaw sector, exact; f 0.75: 1.3333)."""
    shut = np.arange(SECTORS) % 20 >= round(20 * open_fraction)
    share = np.repeat(~shut[:, None], 24, axis=1).astype(float)
    found = solve_gap(_ring(), share, np.zeros(SECTORS))
    law = 6 * np.log(RO / RI) / (np.pi * GAP**3)
    assert found.resistance_1_m3 / law == pytest.approx(1 / open_fraction, rel=1e-9)


@pytest.mark.parametrize("open_share", [0.25, 0.5, 0.75])
def test_sectors_shut_at_the_rim_alone_cost_the_constriction_resistance(open_share):
    """Oil spreads behind a shut piece of rim: each of n pieces adds `ln(1/sin(pi f/2))/(pi k)`, the exact
    resistance of a strip contact at the end of a channel (contact heat transfer, textbook; MEMORY); 4 %.
    """
    n, per = 12, 48
    ring = _ring(n * per, 48)
    rim = np.where(np.arange(n * per) % per < round(per * open_share), 0.0, np.inf)
    found = solve_gap(ring, np.ones((n * per, 48)), rim)
    plain = 6 * np.log(RO / RI) / (np.pi * GAP**3)
    added = 12 / GAP**3 / np.pi * np.log(1 / np.sin(np.pi * open_share / 2)) / n
    assert found.resistance_1_m3 == pytest.approx(plain + added, rel=0.04)
    assert plain < found.resistance_1_m3 < plain / open_share


@settings(max_examples=15, deadline=None)
@given(st.lists(st.floats(0.0, 1e14), min_size=36, max_size=36))
def test_every_ring_line_passes_the_same_flow(rim):
    """Flow across every ring line adds up to that of the hole; each cell keeps its balance (1e-9)."""
    found = solve_gap(_ring(36), np.ones((36, 24)), np.array(rim))
    assert found.inward.sum(axis=0) == pytest.approx(np.ones(25), rel=1e-9)
    turning = np.roll(found.around, 1, axis=0) - found.around
    assert np.abs(found.inward[:, 1:] - found.inward[:, :-1] + turning).max() < 1e-9


def test_nothing_passes_a_gap_that_is_shut():
    """A rim shut all round is refused in plain words."""
    with pytest.raises(ValueError, match="whole gap is shut"):
        solve_gap(_ring(36), np.ones((36, 24)), np.full(36, np.inf))


def test_the_clean_face_costs_what_the_stack_says(face, stack_data):
    """Arms and blade together: the gap law over the stack's open fraction, as the plant takes it (1e-4)."""
    law = 6 * np.log(RO / RI) / (np.pi * GAP**3) / stack_data.stack.open_fraction
    assert face.resistance == pytest.approx(law, rel=1e-4)
    assert face.arm_rad > 0


def test_arms_that_reach_the_rim_are_as_wide_as_they_cost(stack_data, discs_extra):
    """Arms from hole to rim, blade out of the way: their angles are the shut fraction of the circle, 2 %."""
    extra = discs_extra.model_copy(
        update={"separator": discs_extra.separator.model_copy(update={"arm_outer_mm": 20.0})}
    )
    face = DiscFace(stack_data, extra)
    assert face.arm_rad * extra.separator.arms == pytest.approx(0.1 * TURN, rel=0.02)


@settings(max_examples=6, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 5e-6), st.floats(0, 9)), min_size=1, max_size=4),
    st.floats(0, 1),
    st.floats(0, 1),
    st.floats(0, 1),
)
def test_dirt_is_held_or_combed_off(stack_data, jobs, worn, bent, slip):
    """Caught = held + removed after any loads and turns with any blade, to rounding."""
    face = DiscFace(stack_data, blade=BladeState(worn, bent, slip))
    for mass, angle in jobs:
        face.load(mass)
        before = face.held_kg
        removed = face.turn(angle)
        assert face.held_kg + removed == pytest.approx(before, rel=1e-12, abs=1e-20)
    caught = pytest.approx(sum(m for m, _ in jobs), rel=1e-12, abs=1e-18)
    assert face.held_kg + face.state.removed_kg == caught
    assert face.state.caught_kg == caught


def test_a_full_turn_takes_its_share_everywhere(face, stack_data):
    """360 degrees take `cleared_per_turn` off every sector (data of the filter), no more."""
    face.load(1e-5)
    before = face.cake_by_sector
    face.turn(TURN)
    left = 1 - stack_data.scraper.cleared_per_turn
    assert face.cake_by_sector == pytest.approx(left * before, rel=1e-12)


def test_a_part_turn_leaves_a_sector_uncombed(face):
    """90 degrees comb the quarter of the sectors that met the blade and leave the others as they were."""
    face.load(1e-5)
    before = face.cake_by_sector
    face.turn(TURN / 4)
    combed = face.cake_by_sector < before * 0.999
    assert combed.sum() == pytest.approx(SECTORS / 4, abs=2)
    dirty = before[-SECTORS // 4 :] > 0  # the last quarter of the disc comes to the blade first
    assert combed[-SECTORS // 4 :][dirty].all()
    assert not combed[: SECTORS // 2].any()
    assert np.array_equal(face.cake_by_sector[~combed], before[~combed])


@pytest.mark.parametrize("parts", [2, 5, 16])
def test_many_short_turns_equal_one(stack_data, parts):
    """A turn in parts takes off what one turn takes."""
    faces = [DiscFace(stack_data) for _ in range(2)]
    for face in faces:
        face.load(5e-6)
    faces[0].turn(TURN * 0.8)
    for _ in range(parts):
        faces[1].turn(TURN * 0.8 / parts)
    assert faces[1].cake_by_sector == pytest.approx(faces[0].cake_by_sector, rel=1e-9)


def test_combing_brings_the_drop_down_but_not_to_clean(face):
    """Each turn lowers the resistance; a clean gap's is never reached."""
    clean = face.resistance
    face.load(2e-5)
    drops = [face.resistance]
    for _ in range(4):
        face.turn(TURN)
        drops.append(face.resistance)
    assert drops == sorted(drops, reverse=True)
    assert drops[-1] > clean


def test_oil_and_the_next_dirt_go_to_the_combed_sectors(face):
    """After half a turn more than half of the flow enters the combed half, and so does the next dirt."""
    face.load(3e-4)
    face.turn(TURN / 2)
    combed = np.arange(SECTORS) >= SECTORS // 2
    before = face.cake_by_sector
    assert face.solution().inward[combed, -1].sum() > 0.55
    face.load(2e-6)
    grown = face.cake_by_sector - before
    assert grown[combed].sum() > 0.55 * 2e-6


def test_a_worn_blade_takes_less_and_a_slipping_drive_turns_less(stack_data):
    """Half worn: half the bite; half slip: the disc turns half as far and half the rim stays uncombed."""
    taken = {}
    for name, blade in {
        "new": BladeState(),
        "worn": BladeState(worn=0.5),
        "slip": BladeState(slip=0.5),
    }.items():
        face = DiscFace(stack_data, blade=blade)
        face.load(1e-5)
        taken[name] = face.turn(TURN)
    assert taken["worn"] == pytest.approx(0.5 * taken["new"], rel=1e-9)
    assert taken["slip"] == pytest.approx(0.5 * taken["new"], rel=0.03)


def test_a_bent_blade_leaves_a_band_for_good(stack_data):
    """Forty turns of a blade that misses a quarter of the height leave the band it misses as it was."""
    face = DiscFace(stack_data, blade=BladeState(bent=0.25))
    face.load(2e-5)
    missed = face.state.missed_kg
    assert missed.sum() == pytest.approx(0.25 * 2e-5, rel=1e-6)
    face.turn(40 * TURN)
    assert np.array_equal(face.state.missed_kg, missed)
    assert face.state.reached_kg.sum() < 1e-9 * missed.sum()
    reached, band = face.cake_m()
    assert band.max() > 1e6 * reached.max()


def test_fields_carry_the_flow_and_the_pressures(face):
    """Every ring line carries the flow; outside stands mu Q R over the hole; pressure lies between."""
    face.load(1e-5)
    frame = face.fields(2e-6, 0.03, 1e5)
    assert frame.inward_m3s.sum(axis=0) == pytest.approx(np.full(25, 2e-6), rel=1e-9)
    assert frame.outer_pa == pytest.approx(1e5 + 0.03 * 2e-6 * face.resistance, rel=1e-12)
    shut = frame.open_share < 1e-3
    assert np.abs(frame.around_m3s[shut | np.roll(shut, -1, axis=0)]).max() == 0
    assert np.abs(frame.around_m3s).max() > 0
    inside = frame.pressure_pa[np.isfinite(frame.pressure_pa)]
    assert 1e5 < inside.min() < inside.max() < frame.outer_pa


def test_carriers_keep_out_of_the_metal(face):
    """Moving oil stays between cake and hole, never in arms or blade, and turns filtered at the rim."""
    face.load(1e-5)
    face.turn(1.0)
    frame = face.fields(2e-6, 0.03)
    carriers = DiscCarriers(frame, 400, seed=2)
    for _ in range(120):
        carriers.step(frame, 2e-3)
    assert not in_wall(frame, carriers.polar).any()
    for _ in range(40):  # a narrow blade: it comes over some on its way round
        face.turn(0.15)
        frame = face.fields(2e-6, 0.03)
        if in_wall(frame, carriers.polar).any():
            break
    assert in_wall(frame, carriers.polar).any()
    carriers.step(frame, 1e-4)
    assert not in_wall(frame, carriers.polar).any()
    assert carriers.polar[0].min() >= RI
    assert np.array_equal(carriers.kind == 1, carriers.polar[0] <= RO)
    assert 0.1 < (carriers.kind == 1).mean() < 0.999


def test_carriers_follow_oil_that_runs_back(face):
    """With the flow turned round the marks move outwards and start again in the hole."""
    frame = face.fields(-2e-6, 0.03)
    carriers = DiscCarriers(frame, 200, seed=2)
    before = carriers.polar[0].copy()
    carriers.step(frame, 1e-4)
    assert (carriers.polar[0] > before).mean() > 0.9
    for _ in range(60):
        carriers.step(frame, 5e-3)
    assert carriers.polar[0].min() >= RI
    assert carriers.polar[0].max() <= RO + 1.6e-3
    assert carriers.polar[0].min() < 1.2 * RI


def test_bad_input_is_refused(face):
    """Turning back, a negative mass and a condition out of range are refused in plain words."""
    with pytest.raises(ValueError, match="forwards"):
        face.turn(-1.0)
    with pytest.raises(ValueError, match="must not be negative"):
        face.load(-1e-6)
    with pytest.raises(ValueError, match="worn must lie"):
        BladeState(worn=1.5)


def test_uneven_inflow_evens_out_as_laplaces_equation_says():
    """Rim flux 1 + cos(t)/2: p = A ln(r/ri) + B (r/ri - ri/r) cos t, B from the flux (harmonic functions)."""
    ri, ro, gap, n = 0.012, 0.02, 1e-4, 72
    ring = Ring(np.geomspace(ri, ro, 41), n, gap)
    wide = 1e6 * 12 / gap**3  # so large that each sector's flow is set by its own rim
    flow = solve_gap(ring, np.ones((n, 40)), wide * n / (1 + 0.5 * np.cos(ring.angles_rad)))
    slope = 0.5 / (2 * np.pi) * 12 / gap**3 / (ro * (1 / ri + ri / ro**2))
    middle = ring.r_mid_m[-1]
    exact = slope * (middle / ri - ri / middle) * np.cos(ring.angles_rad)
    assert flow.pressure[:, -1] - flow.pressure[:, -1].mean() == pytest.approx(exact, abs=0.01 * exact.max())
