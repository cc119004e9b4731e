"""Figures of media and filtration: permeability, capture, clogging, multi-pass."""

from __future__ import annotations

import math
from typing import Any

from glasscan.formulas.registry import FigureError, Input, figure, positive, word
from glasscan.laws import blocking, capture, media, multipass

SOLID = Input("solid_fraction", low=0.0, high=0.9, open_low=True)
POROSITY = Input("porosity", low=0.0, high=0.99, open_low=True)
BETA = Input("beta", low=1.0)
FIBRE = positive("fibre_um", "um")


@figure(
    "fibre-permeability",
    word("law", media.FIBRE_LAWS),
    SOLID,
    Input("fibre_um", "um", low=0.0, open_low=True, optional=True),
    unit="-",
    method="k/a^2 (a = fibre radius) by the law named; `k_m2` too where the fibre diameter is given; "
    "`beyond` marks a solid fraction above those the law is taken for",
    source="Kuwabara 1959, Happel 1959, Davies 1952, Jackson & James 1986, Drummond & Tahir 1984 "
    "(recalled); across the fibres, the two laws named so along them",
)
def _fibres(law: str, solid_fraction: float, fibre_um: float | None = None) -> dict[str, Any]:
    ratio = media.fibre_permeability_m2(law, 2.0, solid_fraction)
    sized = {} if fibre_um is None else {"k_m2": ratio * (0.5e-6 * fibre_um) ** 2}
    return {"value": ratio, **sized, "beyond": solid_fraction > media.TRUSTED_TO[law]}


@figure(
    "cylinder-array-dilute",
    Input("solid_fraction", low=0.0, high=0.3, open_low=True),
    unit="-",
    method="F/(mu U) per length on a square array, 8 pi/(-ln p - 1.476 + 2 p - 1.774 p^2 + 4.076 p^3)",
    source="Sangani & Acrivos 1982, recalled (status: MEMORY)",
)
def _dilute(solid_fraction: float) -> float:
    return media.square_array_series(solid_fraction)


@figure(
    "cylinder-array-dense",
    Input("solid_fraction", low=0.3, high=0.785),
    unit="-",
    method="F/(mu U) per length, 9 pi/(2 sqrt 2) (1 - sqrt(p/p_max))^(-5/2), p_max = pi/4",
    source="lubrication limit, Sangani & Acrivos 1982",
)
def _dense(solid_fraction: float) -> float:
    return media.square_array_dense(solid_fraction)


@figure(
    "grain-permeability",
    POROSITY,
    positive("grain_um", "um"),
    positive("constant", default=180.0),
    unit="m2",
    method="e^3 d^2/(180 (1 - e)^2); 150 in place of 180 is Ergun's constant",
    source="Kozeny-Carman",
)
def _grains(porosity: float, grain_um: float, constant: float) -> float:
    return media.kozeny_carman_m2(porosity, 1e-6 * grain_um, constant)


@figure(
    "cake-resistance",
    POROSITY,
    positive("grain_um", "um"),
    positive("solid_rho", "kg/m3"),
    positive("constant", default=180.0),
    unit="m/kg",
    method="180 (1 - e)/(rho e^3 d^2); 150 in place of 180 is Ergun's constant",
    source="Kozeny-Carman",
)
def _cake_resistance(porosity: float, grain_um: float, solid_rho: float, constant: float) -> float:
    return media.cake_resistance_m_kg(porosity, 1e-6 * grain_um, solid_rho, constant)


@figure(
    "bubble-pressure",
    positive("pore_um", "um"),
    positive("tension_n_m", "N/m", default=0.0217),
    Input("contact_deg", "deg", low=0.0, high=89.9, default=0.0),
    unit="kPa",
    method="4 gamma cos(theta)/d; the tension left out is isopropyl alcohol's",
    source="Washburn; fluid as in ISO 2942, recalled (status: MEMORY)",
)
def _bubble(pore_um: float, tension_n_m: float, contact_deg: float) -> float:
    return 1e-3 * media.bubble_pressure_pa(1e-6 * pore_um, tension_n_m, contact_deg)


@figure(
    "single-fibre",
    Input("solid_fraction", low=0.0, high=0.3, open_low=True),
    positive("peclet"),
    positive("size_ratio"),
    unit="-, -, -",
    method="[Ku, diffusion 1.6 ((1-a)/Ku)^(1/3) Pe^(-2/3), interception 0.6 (1-a)/Ku R^2/(1+R)]",
    source="Lee & Liu 1982, coefficients recalled (status: MEMORY)",
)
def _single_fibre(solid_fraction: float, peclet: float, size_ratio: float) -> dict[str, Any]:
    words = {
        "kuwabara": media.kuwabara_factor(solid_fraction),
        "diffusion": capture.diffusion_efficiency(solid_fraction, peclet),
        "interception": capture.interception_efficiency(solid_fraction, size_ratio),
    }
    return {"values": list(words.values()), **words}


LEAST_PASSED = 1e-300  # less is nothing: one over it is no number


@figure(
    "fibre-penetration",
    Input("solid_fraction", low=0.0, high=0.9, open_low=True),
    Input("efficiency", low=0.0, high=1.0),
    positive("thickness_mm", "mm"),
    FIBRE,
    unit="-",
    method="exp(-4 a E t/(pi d (1 - a))); `beta` is one over it, where anything passes",
    source="classical theory of fibre filters",
)
def _penetration(
    solid_fraction: float, efficiency: float, thickness_mm: float, fibre_um: float
) -> dict[str, float]:
    passed = capture.penetration(solid_fraction, efficiency, 1e-3 * thickness_mm, 1e-6 * fibre_um)
    return {"value": passed, "beta": 1.0 / passed} if passed > LEAST_PASSED else {"value": passed}


BLOCKED_FOR_GOOD = {"complete": 1.0, "standard": 2.0}
K = Input("k", low=0.0)
J0 = positive("j0")
LAWS = word("law", blocking.EXPONENTS)
HERMIA = "Hermia 1982, Trans. IChemE 60 (recalled)"


@figure(
    "blocking",
    LAWS,
    J0,
    K,
    Input("at_s", "s", low=0.0),
    unit="volume, flux",
    method="constant pressure, d2t/dV2 = k (dt/dV)^n, n = 2, 3/2, 1, 0, closed forms; k in Hermia's sense",
    source=HERMIA,
)
def _blocking(law: str, j0: float, k: float, at_s: float) -> dict[str, Any]:
    volume, flux = blocking.volume_passed(law, j0, k, at_s), blocking.flux_at(law, j0, k, at_s)
    return {"values": [volume, flux], "volume": volume, "flux": flux}


@figure(
    "blocking-constant-rate",
    LAWS,
    Input("kv", low=0.0),
    unit="-",
    method="dp/dp0 at the blocking s = k J0^(1-n) V: 1/(1-s), 1/(1-s/2)^2, exp(s), 1+s",
    source=HERMIA,
)
def _constant_rate(law: str, kv: float) -> float:
    if kv >= BLOCKED_FOR_GOOD.get(law, math.inf):
        raise FigureError(f"kv: expected less than {BLOCKED_FOR_GOOD[law]:g} with law={law}, got {kv:g}")
    return blocking.pressure_ratio(law, kv)


@figure(
    "beta-efficiency",
    BETA,
    unit="-",
    method="1 - 1/beta",
    source="ISO 16889 definition: upstream over downstream count",
)
def _efficiency(beta: float) -> float:
    return multipass.efficiency(beta)


@figure(
    "beta-from-efficiency",
    Input("efficiency", low=0.0, high=1.0 - 1e-12),
    unit="-",
    method="1/(1 - efficiency), the share caught",
    source="ISO 16889 definition: upstream over downstream count",
)
def _beta(efficiency: float) -> float:
    return multipass.beta_from_efficiency(efficiency)


@figure(
    "beta-from-counts",
    positive("upstream", "1/mL"),
    positive("downstream", "1/mL"),
    unit="-",
    method="upstream over downstream count; `efficiency` is 1 - 1/beta",
    source="ISO 16889 definition",
)
def _counts(upstream: float, downstream: float) -> dict[str, float]:
    return {"value": upstream / downstream, "efficiency": 1.0 - downstream / upstream}


@figure(
    "gravimetric-level",
    Input("feed_g_h", "g/h", low=0.0),
    positive("flow_lpm", "L/min"),
    unit="mg/L",
    method="dirt fed over oil passed",
    source="mass balance",
)
def _gravimetric(feed_g_h: float, flow_lpm: float) -> float:
    return feed_g_h / flow_lpm * (1000.0 / 60.0)


@figure(
    "multipass",
    positive("flow_lpm", "L/min"),
    positive("volume_l", "L"),
    Input("base_mg_l", "mg/L", low=0.0),
    BETA,
    Input("at_s", "s", low=0.0),
    Input("start_mg_l", "mg/L", low=0.0, default=0.0),
    unit="mg/L",
    method="V dC/dt = Q base - Q (1 - 1/beta) C from `start_mg_l`, mixed reservoir; for beta above 1 also "
    "`settled_mg_l` and `tau_s`",
    source="mass balance",
)
def _multipass(
    flow_lpm: float, volume_l: float, base_mg_l: float, beta: float, at_s: float, start_mg_l: float
) -> dict[str, float]:
    flow, volume = flow_lpm * 1e-3 / 60.0, 1e-3 * volume_l
    value = multipass.reservoir_kg_m3(flow, volume, base_mg_l, beta, at_s, start_mg_l)
    if beta == 1.0:
        return {"value": value}
    tau = multipass.time_constant_s(flow, volume, beta)
    return {"value": value, "settled_mg_l": multipass.settled_kg_m3(base_mg_l, beta), "tau_s": tau}


@figure(
    "cleanup-turnovers",
    Input("beta", low=1.0, open_low=True),
    Input("factor", low=1.0, default=10.0),
    unit="-",
    method="reservoir volumes through the filter to cut the dirt `factor` times, ln(factor)/(1 - 1/beta)",
    source="mass balance",
)
def _cleanup(beta: float, factor: float) -> float:
    return multipass.turnovers_to_clean(beta, factor)
