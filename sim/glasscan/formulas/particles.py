"""Figures of particles: sizes, dusts, drag and settling."""

from __future__ import annotations

import itertools
from typing import Any

from glasscan.formulas.registry import FigureError, Input, figure, positive, word
from glasscan.laws import cleanliness, drag, dust

SIZE = positive("size_um", "um")
SOLID = positive("solid_rho", "kg/m3")
LIQUID = positive("rho", "kg/m3")
MU = positive("mu_pa_s", "Pa.s")


@figure(
    "particle-size",
    Input("um", "um", low=1.0, high=40.0),
    unit="um(c)",
    method="ISO 11171 size in place of an old ISO 4402 size, linear in the map; `rounded` is the coded size",
    source="ISO 11171 annex, recalled (status: MEMORY)",
)
def _size(um: float) -> dict[str, Any]:
    size = float(cleanliness.iso11171_um_c(um))
    return {"value": size, "rounded": round(size)}


@figure(
    "particle-size-old",
    Input("um_c", "um(c)", low=4.2, high=31.7),
    unit="um",
    method="old ISO 4402 size of an ISO 11171 size, linear in the map of `particle-size`",
    source="ISO 11171 annex, recalled (status: MEMORY)",
)
def _old_size(um_c: float) -> float:
    return float(cleanliness.iso4402_um(um_c))


@figure(
    "dust-finer",
    word("grade", dust.DUSTS),
    Input("um", "um", low=0.0),
    unit="%",
    method="share of the volume finer than a size, linear in ln(size) between the middles of the limits; "
    "`low` and `high` between the limits themselves",
    source="ISO 12103-1 and legacy dusts; `table` and `status` say where each grade's numbers come from",
)
def _finer(grade: str, um: float) -> dict[str, Any]:
    kind = dust.DUSTS[grade]
    low, high = (float(kind.finer_pct(um, limits)) for limits in (kind.low, kind.high))
    told = {"low": low, "high": high, "table": kind.source, "status": kind.status}
    return {"value": float(kind.finer_pct(um)), **told}


@figure(
    "dust-table",
    word("grade", dust.DUSTS),
    unit="um",
    method="sizes of the table, and `low`, `high` and `middle` shares finer than each, % of the volume; "
    "`bands` shares "
    "between one size and the next",
    source="ISO 12103-1 and legacy dusts; `table` and `status` say where each grade's numbers come from",
)
def _dust_table(grade: str) -> dict[str, Any]:
    kind = dust.DUSTS[grade]
    middle = [float(share) for share in kind.mid]
    bands = [share - before for before, share in itertools.pairwise([0.0, *middle])]
    shares = {"low": list(kind.low), "high": list(kind.high), "middle": middle, "bands": bands}
    return {"values": list(kind.um), **shares, "table": kind.source, "status": kind.status}


@figure(
    "dust-size",
    word("grade", dust.DUSTS),
    Input("finer_pct", "%", low=0.0, high=100.0, default=50.0),
    unit="um",
    method="size below which a share of the volume lies; 50 % is the median",
    source="ISO 12103-1 and legacy dusts; `table` and `status` say where each grade's numbers come from",
)
def _dust_size(grade: str, finer_pct: float) -> dict[str, Any]:
    kind = dust.DUSTS[grade]
    return {"value": kind.size_um(finer_pct), "table": kind.source, "status": kind.status}


@figure(
    "sphere-drag",
    positive("re"),
    unit="-",
    method="24/Re (1 + 0.15 Re^0.687) to Re 1000, 0.44 above; `beyond` marks a Re above 2e5, where the drag "
    "falls",
    source="Schiller & Naumann 1933",
)
def _drag(re: float) -> dict[str, Any]:
    return {"value": drag.schiller_naumann(re), "beyond": re > drag.RE_CRISIS}


@figure(
    "settling",
    SIZE,
    SOLID,
    LIQUID,
    MU,
    unit="m/s",
    method="terminal speed with Schiller-Naumann drag, downward positive; `stokes` without inertia, `re` too",
    source="Schiller & Naumann 1933; Stokes 1851",
)
def _settling(size_um: float, solid_rho: float, rho: float, mu_pa_s: float) -> dict[str, float]:
    inputs = (1e-6 * size_um, solid_rho, rho, mu_pa_s)
    speed = drag.terminal_speed_m_s(*inputs)
    re = rho * abs(speed) * 1e-6 * size_um / mu_pa_s
    return {"value": speed, "stokes": drag.stokes_speed_m_s(*inputs), "re": re}


@figure(
    "stokes-speed",
    SIZE,
    SOLID,
    LIQUID,
    MU,
    unit="m/s",
    method="g d^2 (solid - rho)/(18 mu), g = 9.81 m/s2, downward positive; without inertia, see `settling`",
    source="Stokes 1851",
)
def _stokes(size_um: float, solid_rho: float, rho: float, mu_pa_s: float) -> float:
    return drag.stokes_speed_m_s(1e-6 * size_um, solid_rho, rho, mu_pa_s)


@figure(
    "hindered-settling",
    SIZE,
    SOLID,
    LIQUID,
    MU,
    Input("solid_mass_fraction", low=0.0, high=0.95, optional=True),
    Input("solid_volume_fraction", low=0.0, high=0.95, optional=True),
    unit="m/s",
    method="Stokes times e^2 10^(-1.82 (1 - e)), e = volume share of liquid, from the solids by mass or by "
    "volume; `richardson_zaki` with e^4.65; `liquid_fraction` is e",
    source="Steinour 1944 as in Geankoplis 14.3; Richardson & Zaki 1954 (recalled)",
)
def _hindered(
    size_um: float,
    solid_rho: float,
    rho: float,
    mu_pa_s: float,
    solid_mass_fraction: float | None = None,
    solid_volume_fraction: float | None = None,
) -> dict[str, float]:
    inputs = (1e-6 * size_um, solid_rho, rho, mu_pa_s)
    share = _liquid_share(solid_mass_fraction, solid_volume_fraction, solid_rho, rho)
    zaki = drag.stokes_speed_m_s(*inputs) * drag.richardson_zaki(share)
    value = drag.hindered_speed_m_s(*inputs, share)
    return {"value": value, "richardson_zaki": zaki, "liquid_fraction": share}


def _liquid_share(by_mass: float | None, by_volume: float | None, solid_rho: float, rho: float) -> float:
    if by_mass is not None and by_volume is None:
        return drag.liquid_fraction(by_mass, solid_rho, rho)
    if by_volume is not None and by_mass is None:
        return 1.0 - by_volume
    raise FigureError("hindered-settling: expected one of solid_mass_fraction and solid_volume_fraction")


@figure(
    "brownian-diffusivity",
    Input("at_c", "degC", low=-100.0, high=350.0),
    MU,
    SIZE,
    unit="m2/s",
    method="kB T/(3 pi mu d)",
    source="Stokes-Einstein",
)
def _diffusivity(at_c: float, mu_pa_s: float, size_um: float) -> float:
    return drag.diffusivity_m2_s(at_c + 273.15, mu_pa_s, 1e-6 * size_um)


@figure("sphere-mass", SIZE, SOLID, unit="kg", method="rho pi d^3/6", source="geometry")
def _mass(size_um: float, solid_rho: float) -> float:
    return drag.sphere_mass_kg(1e-6 * size_um, solid_rho)
