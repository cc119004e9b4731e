"""Clogging, cake, multi-pass, codes, dust and settling: equations integrated by scipy, and identities."""

import math

import numpy as np
import pytest
from glasscan.laws import blocking, cake, cleanliness, drag, dust, multipass
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

HERMIA_N = {"complete": 2.0, "standard": 1.5, "intermediate": 1.0, "cake": 0.0}
"""Exponents of the four laws: Hermia 1982 (MEMORY)."""
LAWS = sorted(HERMIA_N)


@pytest.mark.parametrize("law", LAWS)
@pytest.mark.parametrize(("j0", "k"), [(1.0, 1.0), (3.0, 0.2), (0.05, 4.0)])
def test_clogging_closed_forms_solve_hermias_equation(law: str, j0: float, k: float) -> None:
    """d2t/dV2 = k (dt/dV)^n (Hermia 1982, MEMORY) integrated in time by scipy gives volume and flow."""
    n = HERMIA_N[law]

    def slope(_t: float, y: np.ndarray) -> list[float]:
        return [y[1], -k * y[1] ** (3.0 - n)]

    end = solve_ivp(slope, (0.0, 2.0), [0.0, j0], rtol=1e-10, atol=1e-14).y[:, -1]
    found = blocking.volume_passed(law, j0, k, 2.0), blocking.flux_at(law, j0, k, 2.0)
    assert found == pytest.approx(tuple(end), rel=1e-7)


@given(st.sampled_from(LAWS), st.floats(0.01, 10.0), st.floats(1e-6, 10.0), st.floats(0.0, 1e4))
def test_flow_falls_and_volume_grows(law: str, j0: float, k: float, t_s: float) -> None:
    """Flow never exceeds its start nor volume what the first flow would pass; both keep their order."""
    volume, later = (blocking.volume_passed(law, j0, k, t) for t in (t_s, 2.0 * t_s + 1.0))
    assert 0.0 <= volume <= later
    assert volume <= j0 * t_s * (1.0 + 1e-12) + 1e-300
    assert (
        blocking.flux_at(law, j0, k, 2.0 * t_s + 1.0) <= blocking.flux_at(law, j0, k, t_s) <= j0 * (1 + 1e-9)
    )


def test_a_nearly_blocked_filter_keeps_its_digits() -> None:
    """Complete blocking falls as exp(-k t) without end, far below what one minus a share resolves."""
    assert blocking.flux_at("complete", 1.0, 1.0, 60.0) == pytest.approx(math.exp(-60.0), rel=1e-12)


@given(st.sampled_from(LAWS), st.floats(0.01, 10.0), st.floats(0.01, 10.0), st.floats(0.0, 3.0))
def test_flow_at_a_time_is_the_flow_at_its_volume(law: str, j0: float, k: float, tau: float) -> None:
    """The flow against time and the flow against volume are one law."""
    t_s = tau * j0 ** (HERMIA_N[law] - 2.0) / k
    s = blocking.blocking_number(law, j0, k, blocking.volume_passed(law, j0, k, t_s))
    assert blocking.flux_at(law, j0, k, t_s) == pytest.approx(j0 * blocking.flux_ratio(law, s), rel=1e-9)


def test_no_clogging_passes_the_first_flow_for_ever() -> None:
    """k = 0 leaves the flow alone under every law."""
    assert [blocking.volume_passed(law, 2.0, 0.0, 3.0) for law in LAWS] == [6.0] * 4


def test_a_blocked_filter_takes_no_rate() -> None:
    """Complete blocking at s = 1 has no flow left and needs infinite pressure at constant rate."""
    assert blocking.flux_ratio("complete", 1.0) == 0.0
    assert blocking.pressure_ratio("complete", 1.0) == math.inf


def test_wrong_law_or_flow_is_refused() -> None:
    """One clear line for an unknown law and for a first flow of zero."""
    with pytest.raises(ValueError, match="known"):
        blocking.exponent("caked")
    with pytest.raises(ValueError, match="above zero"):
        blocking.blocking_number("cake", 0.0, 1.0, 1.0)


@given(st.floats(1e3, 1e8), st.floats(0.0, 1e6), st.floats(1e-6, 10.0))
def test_cake_time_and_volume_undo_each_other(kp: float, b: float, volume: float) -> None:
    """Ruth's parabola read both ways, also without a medium."""
    run = cake.CakeRun(kp, b)
    assert run.volume_m3(run.time_s(volume)) == pytest.approx(volume, rel=1e-9)


def test_cake_rate_is_the_slope_of_the_parabola() -> None:
    """dV/dt from the time law by central difference."""
    run = cake.CakeRun(6e6, 6400.0)
    slope = (run.time_s(2.001e-3) - run.time_s(1.999e-3)) / 2e-6
    assert run.rate_m3s(2e-3) == pytest.approx(1.0 / slope, rel=1e-6)


def test_fit_finds_the_constants_of_an_exact_run() -> None:
    """Readings made from known constants give them back, and area scaling matches a rebuilt press."""
    run = cake.press_run(0.0439, 338e3, 23.47, 8.937e-4, 1.863e11, 1.063e11)
    volumes = np.linspace(5e-4, 5e-3, 10)
    fitted = cake.fit_run([run.time_s(v) for v in volumes], volumes)
    assert (fitted.kp_s_m6, fitted.b_s_m3) == pytest.approx((run.kp_s_m6, run.b_s_m3), rel=1e-9)
    bigger = cake.press_run(17.46, 338e3, 23.47, 8.937e-4, 1.863e11, 1.063e11)
    scaled = cake.scaled_run(run, 17.46 / 0.0439)
    assert (scaled.kp_s_m6, scaled.b_s_m3) == pytest.approx((bigger.kp_s_m6, bigger.b_s_m3), rel=1e-9)
    assert fitted.cake_resistance_m_kg(0.0439, 338e3, 23.47, 8.937e-4) == pytest.approx(1.863e11, rel=1e-9)
    assert fitted.medium_resistance_1_m(0.0439, 338e3, 8.937e-4) == pytest.approx(1.063e11, rel=1e-9)


def test_a_frame_press_washes_at_a_quarter_of_its_last_rate() -> None:
    """Geankoplis, example 14.2-3 (FOUND): 194.0 s for 0.337 m3 after 3.37 m3."""
    assert cake.CakeRun(37.93, 16.1).wash_time_s(3.37, 0.337) == pytest.approx(194.0, rel=2e-3)


@pytest.mark.parametrize("beta", [1.0, 1.4, 75.0])
def test_reservoir_solves_its_balance(beta: float) -> None:
    """V dC/dt = Q base - Q (1 - 1/beta) C integrated by scipy from a dirty start."""
    flow, volume, base, start = 1.5e-3, 0.05, 0.01, 0.03
    share = flow / volume

    def slope(_t: float, c: np.ndarray) -> np.ndarray:
        return share * (base - (1.0 - 1.0 / beta) * c)

    end = solve_ivp(slope, (0.0, 90.0), [start], rtol=1e-10, atol=1e-14).y[0, -1]
    assert multipass.reservoir_kg_m3(flow, volume, base, beta, 90.0, start) == pytest.approx(end, rel=1e-7)


@given(st.floats(1.0, 1e5))
def test_beta_and_efficiency_undo_each_other(beta: float) -> None:
    """ISO 16889 definition read both ways."""
    assert multipass.beta_from_efficiency(multipass.efficiency(beta)) == pytest.approx(beta, rel=1e-9)


def test_a_filter_that_catches_nothing() -> None:
    """Beta 1 never settles nor cleans; below 1 is refused."""
    assert multipass.settled_kg_m3(0.01, 1.0) == math.inf
    assert multipass.turnovers_to_clean(1.0) == math.inf
    assert multipass.time_constant_s(1.0, 1.0, 1.0) == math.inf
    with pytest.raises(ValueError, match="beta is 1"):
        multipass.efficiency(0.99)
    with pytest.raises(ValueError, match="share caught"):
        multipass.beta_from_efficiency(1.0)


@given(st.floats(0.0, 2.4e6))
def test_code_ranges_hold_their_counts(per_ml: float) -> None:
    """A count lies in the range of its own ISO 4406 code, upper limit included."""
    low, high = cleanliness.iso4406_range_per_ml(cleanliness.iso4406_code(per_ml))
    assert low < per_ml <= high or per_ml == low == 0.0


def test_counts_beyond_the_codes() -> None:
    """Above 2 500 000 per mL is above code 28; negative or missing counts are refused."""
    assert cleanliness.iso4406((2.5e6, 2.6e6, 0.0)) == "28/>28/0"
    for wrong in (-1.0, math.nan):
        with pytest.raises(ValueError, match="zero or more"):
            cleanliness.iso4406_code(wrong)
    with pytest.raises(ValueError, match="0 to 28"):
        cleanliness.iso4406_range_per_ml(29)


def test_nas_class_is_the_smallest_that_holds_all_bands() -> None:
    """A class's own limits give the class; one particle more in any band gives the next."""
    assert cleanliness.nas1638_class((16000, 2850, 506, 90, 16)) == "6"
    assert cleanliness.nas1638_class((16000, 2850, 507, 90, 16)) == "7"
    assert cleanliness.nas1638_class((2e6, 0, 0, 0, 0)) == ">12"


def test_nas_table_doubles_from_class_to_class() -> None:
    """Identity of NAS 1638: each class allows twice the one below, but for rounding of small counts."""
    for low, high in zip(range(12), range(1, 13), strict=True):
        pairs = zip(
            cleanliness.NAS1638_PER_100ML[str(low)], cleanliness.NAS1638_PER_100ML[str(high)], strict=True
        )
        assert all(abs(b - 2 * a) <= max(2, 0.002 * b) for a, b in pairs)


@pytest.mark.parametrize(("name", "cumulative"), [("6", (19500, 3460)), ("7", (38900,))])
def test_as4059_sums_round_to_the_quoted_limits(name: str, cumulative: tuple[int, ...]) -> None:
    """6B 19500, 6C 3460, 7B 38900 quoted for SAE AS4059 (FOUND): ours rounded to three figures."""
    ours = cleanliness.as4059_cumulative_per_100ml(name)
    assert tuple(int(float(f"{x:.3g}")) for x in ours[: len(cumulative)]) == cumulative
    with pytest.raises(ValueError, match="known"):
        cleanliness.as4059_cumulative_per_100ml("13")


def test_size_map_refuses_what_it_does_not_cover() -> None:
    """Outside 1 to 40 um there is one clear line, not an extrapolation."""
    for wrong in (0.5, 41.0, math.nan):
        with pytest.raises(ValueError, match="covers"):
            cleanliness.iso11171_um_c(wrong)


@given(st.sampled_from(sorted(dust.DUSTS)), st.floats(0.0, 300.0), st.floats(0.0, 50.0))
def test_dust_curves_rise_from_nothing_to_all(grade: str, um: float, more: float) -> None:
    """Share finer never falls with size and stays within 0 to 100 %."""
    low, high = dust.DUSTS[grade].finer_pct([um, um + more])
    assert 0.0 <= low <= high <= 100.0


@given(st.sampled_from(sorted(dust.DUSTS)), st.floats(0.1, 99.0))
def test_dust_size_and_share_undo_each_other(grade: str, share: float) -> None:
    """Size of a share, then share of that size."""
    kind = dust.DUSTS[grade]
    top = min(share, float(kind.mid[-1]))
    assert kind.finer_pct(kind.size_um(top)) == pytest.approx(top, rel=1e-9)


@given(st.floats(1e-9, 1e-1), st.floats(1e-4, 10.0), st.floats(1000.0, 9000.0))
def test_terminal_speed_balances_the_forces(size: float, mu: float, solid: float) -> None:
    """Drag at the terminal speed equals weight less buoyancy, at any scale."""
    rho = 870.0
    speed = drag.terminal_speed_m_s(size, solid, rho, mu)
    pull = (solid - rho) * drag.GRAVITY_M_S2 * math.pi * size**3 / 6.0
    area = math.pi * size**2 / 4.0
    assert drag.schiller_naumann(rho * speed * size / mu) * 0.5 * rho * speed**2 * area == pytest.approx(
        pull, rel=0.006
    )
    assert speed <= drag.stokes_speed_m_s(size, solid, rho, mu) * (1.0 + 1e-12)


def test_fast_spheres_have_newtons_drag() -> None:
    """Above Re 1000 the drag coefficient is 0.44 (textbook): sqrt(4 g d (s - 1)/(3 Cd)) for steel."""
    assert [drag.schiller_naumann(re) for re in (1001.0, 1e5)] == pytest.approx([0.44, 0.44], rel=1e-12)
    assert drag.schiller_naumann(1000.0) == pytest.approx(0.43828814, rel=1e-8)
    newton = math.sqrt(4.0 * 9.81 * 0.01 * (7870.0 / 998.0 - 1.0) / (3.0 * 0.44))
    assert drag.terminal_speed_m_s(0.01, 7870.0, 998.0, 1e-3) == pytest.approx(newton, rel=1e-9)


def test_light_particles_rise() -> None:
    """A bubble of light oil goes up as fast as an equally heavy-by-difference grain goes down."""
    up, down = (drag.terminal_speed_m_s(1e-4, 870.0 + d, 870.0, 0.05) for d in (-100.0, 100.0))
    assert up == -down < 0.0
    assert drag.terminal_speed_m_s(1e-4, 870.0, 870.0, 0.05) == 0.0


@given(st.floats(0.3, 1.0), st.floats(1e-3, 1e4))
def test_crowds_settle_slower(liquid: float, re: float) -> None:
    """Hindered settling never beats a single sphere, and joins it when alone."""
    assert 0.0 < drag.richardson_zaki(liquid, re) <= 1.0
    alone = drag.hindered_speed_m_s(1e-4, 2467.0, 998.0, 1e-3, 1.0)
    assert alone == pytest.approx(drag.stokes_speed_m_s(1e-4, 2467.0, 998.0, 1e-3))
    assert drag.hindered_speed_m_s(1e-4, 2467.0, 998.0, 1e-3, liquid) <= alone


@pytest.mark.parametrize(
    ("re", "n"), [(0.1, 4.65), (0.5, 4.35 * 0.5**-0.03), (100.0, 4.45 * 100.0**-0.1), (600.0, 2.39)]
)
def test_richardson_zaki_exponents(re: float, n: float) -> None:
    """The published piecewise exponent for a wide vessel (Richardson & Zaki 1954, MEMORY)."""
    assert math.log(drag.richardson_zaki(0.6, re)) / math.log(0.6) == pytest.approx(n, rel=1e-12)


def test_richardson_zaki_exponents_join() -> None:
    """The piecewise exponent (MEMORY) has no jump worth noticing (2 %) at its joints."""
    for joint in (0.2, 1.0, 500.0):
        below, above = (drag.richardson_zaki(0.7, joint * f) for f in (1 - 1e-9, 1 + 1e-9))
        assert below == pytest.approx(above, rel=0.04)
