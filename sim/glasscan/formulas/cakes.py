"""Figures of cake filtration: a run at constant pressure or rate, its fit, washing, a rotary drum."""

from __future__ import annotations

from glasscan.formulas.registry import FigureError, Input, figure, positive
from glasscan.laws import cake

KP = Input("kp", "s/m6", low=0.0)
B = Input("b", "s/m3", low=0.0)
VOLUME = Input("volume_m3", "m3", low=0.0)
AREA_RATIO = positive("area_ratio", default=1.0)
RUTH = "Ruth; worked example in Geankoplis 14.2"
LARGER = "; on `area_ratio` times the area Kp falls by its square, B by itself"


def _run(kp: float, b: float, area_ratio: float) -> cake.CakeRun:
    return cake.scaled_run(cake.CakeRun(kp, b), area_ratio)


@figure(
    "cake-time",
    KP,
    B,
    VOLUME,
    AREA_RATIO,
    unit="s",
    method=f"t = Kp V^2/2 + B V at constant pressure{LARGER}",
    source=RUTH,
)
def _cake_time(kp: float, b: float, volume_m3: float, area_ratio: float) -> float:
    return _run(kp, b, area_ratio).time_s(volume_m3)


@figure(
    "cake-volume",
    positive("kp", "s/m6"),
    B,
    Input("at_s", "s", low=0.0),
    AREA_RATIO,
    unit="m3",
    method=f"filtrate passed at a time, from t = Kp V^2/2 + B V; `rate_m3_s` then{LARGER}",
    source=RUTH,
)
def _cake_volume(kp: float, b: float, at_s: float, area_ratio: float) -> dict[str, float]:
    run = _run(kp, b, area_ratio)
    volume = run.volume_m3(at_s)
    if run.kp_s_m6 * volume + run.b_s_m3 <= 0.0:
        raise FigureError("b: expected more than 0 s/m3 where at_s is 0, got 0")
    return {"value": volume, "rate_m3_s": run.rate_m3s(volume)}


@figure(
    "wash-time",
    positive("kp", "s/m6"),
    B,
    VOLUME,
    Input("wash_m3", "m3", low=0.0),
    Input("rate_share", low=0.0, high=1.0, open_low=True, default=0.25),
    AREA_RATIO,
    unit="s",
    method=f"wash volume at a share of the final rate 1/(Kp V + B){LARGER}",
    source="Geankoplis 14.2",
)
def _wash(
    kp: float, b: float, volume_m3: float, wash_m3: float, rate_share: float, area_ratio: float
) -> float:
    return _run(kp, b, area_ratio).wash_time_s(volume_m3, wash_m3, rate_share)


@figure(
    "cake-constants",
    positive("area_m2", "m2"),
    positive("dp_pa", "Pa"),
    positive("solids_kg_m3", "kg/m3"),
    positive("mu_pa_s", "Pa.s"),
    positive("alpha_m_kg", "m/kg"),
    Input("medium_1_m", "1/m", low=0.0),
    unit="s/m6, s/m3",
    method="Kp = mu c alpha/(A^2 dp), B = mu Rm/(A dp); c dry solids per filtrate volume",
    source=RUTH,
)
def _constants(
    area_m2: float, dp_pa: float, solids_kg_m3: float, mu_pa_s: float, alpha_m_kg: float, medium_1_m: float
) -> list[float]:
    run = cake.press_run(area_m2, dp_pa, solids_kg_m3, mu_pa_s, alpha_m_kg, medium_1_m)
    return [run.kp_s_m6, run.b_s_m3]


SIZES = (
    Input("area_m2", "m2", low=0.0, open_low=True, optional=True),
    Input("dp_pa", "Pa", low=0.0, open_low=True, optional=True),
    Input("solids_kg_m3", "kg/m3", low=0.0, open_low=True, optional=True),
    Input("mu_pa_s", "Pa.s", low=0.0, open_low=True, optional=True),
)


@figure(
    "cake-fit",
    Input("t_s", "s", low=0.0, open_low=True, many=True),
    Input("v_m3", "m3", low=0.0, open_low=True, many=True),
    *SIZES,
    unit="s/m6, s/m3",
    method="least squares of t/V against V: Kp is twice the slope, B the intercept; with area, drop, "
    "solids per "
    "filtrate and viscosity also `alpha_m_kg` Kp A^2 dp/(mu c) and `medium_1_m` B A dp/mu",
    source=RUTH,
)
def _fit(
    t_s: list[float],
    v_m3: list[float],
    area_m2: float | None = None,
    dp_pa: float | None = None,
    solids_kg_m3: float | None = None,
    mu_pa_s: float | None = None,
) -> dict[str, float | list[float]]:
    if len(t_s) != len(v_m3):
        raise FigureError(f"v_m3: expected as many numbers as t_s, which has {len(t_s)}, got {len(v_m3)}")
    if len(set(v_m3)) == 1:
        raise FigureError("v_m3: expected at least two different volumes, got one")
    run = cake.fit_run(t_s, v_m3)
    return {"values": [run.kp_s_m6, run.b_s_m3], **_resistances(run, area_m2, dp_pa, solids_kg_m3, mu_pa_s)}


def _resistances(run: cake.CakeRun, *sizes: float | None) -> dict[str, float]:
    """Resistances of cake and medium where all sizes are given, nothing where none is."""
    given = [size for size in sizes if size is not None]
    if not given:
        return {}
    if len(given) < len(sizes):
        short = [item.key for item, size in zip(SIZES, sizes, strict=True) if size is None]
        raise FigureError(
            f"cake-fit: missing {' and '.join(short)}: the resistances need all four sizes or none"
        )
    area, dp, solids, mu = given
    alpha = run.cake_resistance_m_kg(area, dp, solids, mu)
    return {"alpha_m_kg": alpha, "medium_1_m": run.medium_resistance_1_m(area, dp, mu)}


@figure(
    "drum-area",
    positive("slurry_kg_s", "kg/s"),
    Input("solid_mass_fraction", low=0.0, high=0.95, open_low=True),
    Input("wet_to_dry", low=1.0, high=100.0),
    positive("rho", "kg/m3"),
    positive("dp_pa", "Pa"),
    positive("alpha0", "m/kg"),
    Input("alpha_power", low=0.0, high=2.0, default=0.0),
    positive("mu_pa_s", "Pa.s"),
    positive("cycle_s", "s"),
    Input("submerged", low=0.0, high=1.0, open_low=True),
    unit="m2",
    method="rotary drum without a medium: V/(A tc) = sqrt(2 f dp/(tc mu alpha c)), alpha = alpha0 "
    "dp^alpha_power, c = rho x/(1 - m x); `solids_kg_m3` is c",
    source="Geankoplis 14.2",
)
def _drum(
    slurry_kg_s: float,
    solid_mass_fraction: float,
    wet_to_dry: float,
    rho: float,
    dp_pa: float,
    alpha0: float,
    alpha_power: float,
    mu_pa_s: float,
    cycle_s: float,
    submerged: float,
) -> dict[str, float]:
    if wet_to_dry * solid_mass_fraction >= 1.0:
        most = 1.0 / solid_mass_fraction
        raise FigureError(
            f"wet_to_dry: expected less than {most:g} (no filtrate would be left), got {wet_to_dry:g}"
        )
    solids = cake.solids_per_filtrate_kg_m3(solid_mass_fraction, wet_to_dry, rho)
    filtrate = slurry_kg_s * solid_mass_fraction / solids
    alpha = alpha0 * dp_pa**alpha_power
    area = cake.drum_area_m2(filtrate, dp_pa, alpha, solids, mu_pa_s, cycle_s, submerged)
    return {"value": area, "solids_kg_m3": solids}


@figure(
    "constant-rate-drop",
    positive("q"),
    Input("t1"),
    Input("dp1"),
    Input("t2"),
    Input("dp2"),
    Input("t"),
    unit="as dp1",
    method="dp = K1 q^2 t + K2 q through two readings; `k1`, `k2` too",
    source="Ruth; Problems in Fluid Flow, example 8.1",
)
def _constant_rate_drop(q: float, t1: float, dp1: float, t2: float, dp2: float, t: float) -> dict[str, float]:
    if t1 == t2:
        raise FigureError(f"t2: expected another time than t1, got {t2:g}")
    k1, k2 = cake.constant_rate_constants(q, (t1, dp1), (t2, dp2))
    return {"value": cake.constant_rate_drop_pa(k1, k2, q, t), "k1": k1, "k2": k2}
