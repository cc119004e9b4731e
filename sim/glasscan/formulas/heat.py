"""Figures of heat, mixing and the kind of flow."""

from __future__ import annotations

from glasscan.formulas.registry import Input, figure, positive, word
from glasscan.laws import transport
from glasscan.laws.channels import hydraulic_reynolds
from glasscan.laws.heat import conductivity_w_mk, specific_heat_j_kgk, throttling_rise_k

CRAGOE = "Cragoe, NBS Misc. Publ. 97 (1929), coefficients recalled (status: MEMORY)"
SG = Input("sg", low=0.4, high=2.0)
AT_C = Input("at_c", "degC", low=-100.0, high=350.0)


@figure(
    "specific-heat", SG, AT_C, unit="J/(kg.K)", method="(1685 + 3.4 t)/sqrt(sg), t in degC", source=CRAGOE
)
def _specific_heat(sg: float, at_c: float) -> float:
    return float(specific_heat_j_kgk(sg, at_c))


@figure(
    "conductivity", SG, AT_C, unit="W/(m.K)", method="0.1172 (1 - 0.00054 t)/sg, t in degC", source=CRAGOE
)
def _conductivity(sg: float, at_c: float) -> float:
    return float(conductivity_w_mk(sg, at_c))


@figure(
    "throttling-rise",
    Input("dp_kpa", "kPa", low=0.0),
    positive("rho", "kg/m3"),
    positive("cp", "J/(kg.K)"),
    unit="K",
    method="dp/(rho cp), no heat leaving and no work taken",
    source="energy balance",
)
def _throttling(dp_kpa: float, rho: float, cp: float) -> float:
    return float(throttling_rise_k(1e3 * dp_kpa, rho, cp))


SHAPES = ("plates", "pipe")
NUSSELT = {"plates": transport.plates_nusselt, "pipe": transport.pipe_nusselt}


def _nusselt(shape: str, wall: str) -> float:
    return NUSSELT[shape]() if wall == "temperature" else transport.NUSSELT_OF_FLUX[shape]


@figure(
    "plates-nusselt",
    word("wall", ("temperature", "flux"), default="temperature"),
    unit="-",
    method="developed flow between plates of one temperature (slowest mode of Graetz's problem) or of one "
    "heat flux (140/17), on the hydraulic diameter; for scale: the plant mixes each lump of oil fully",
    source="textbook (Graetz); Kummer's function by scipy (status: COMPUTED)",
)
def _plates_nusselt(wall: str) -> float:
    return _nusselt("plates", wall)


@figure(
    "pipe-nusselt",
    word("wall", ("temperature", "flux"), default="temperature"),
    unit="-",
    method="developed flow in a pipe of one wall temperature (slowest mode of Graetz's problem) or of one "
    "heat flux (48/11), on the diameter",
    source="textbook (Graetz); Kummer's function by scipy (status: COMPUTED)",
)
def _pipe_nusselt(wall: str) -> float:
    return _nusselt("pipe", wall)


DISPERSION = {"channel": transport.channel_dispersion, "pipe": transport.pipe_dispersion}


@figure(
    "channel-dispersion",
    Input("peclet", low=0.0, high=1e6),
    word("shape", DISPERSION, default="channel"),
    unit="-",
    method="smearing along a plane channel over molecular diffusion, 1 + Pe^2/210 on full height and mean "
    "velocity; along a pipe 1 + Pe^2/192 on the diameter; for scale: the plant mixes each lump of oil fully",
    source="Taylor and Aris, textbook (status: COMPUTED)",
)
def _channel_dispersion(peclet: float, shape: str) -> float:
    return DISPERSION[shape](peclet)


@figure(
    "reynolds",
    positive("rho", "kg/m3"),
    Input("speed_m_s", "m/s", low=0.0),
    positive("diameter_mm", "mm"),
    positive("mu_pa_s", "Pa.s"),
    unit="-",
    method="rho u d/mu on the hydraulic diameter; `regime`: laminar up to 2000, turning up to 2300, then "
    "turbulent",
    source="textbook; limits of a pipe, recalled (status: MEMORY)",
)
def _reynolds(rho: float, speed_m_s: float, diameter_mm: float, mu_pa_s: float) -> dict[str, float | str]:
    value = hydraulic_reynolds(rho, speed_m_s, 1e-3 * diameter_mm, mu_pa_s)
    return {"value": value, "regime": transport.regime(value)}
