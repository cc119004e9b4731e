"""Figures of particles: cleanliness codes, sizes, dusts, drag and settling."""

from __future__ import annotations

from typing import Any

from sim.figures.registry import FigureError, Input, figure, positive, word
from sim.physics import cleanliness, drag, dust

COUNTS = tuple(
    Input(f"n{size}", "1/mL", low=0.0, optional=size == 4) for size in cleanliness.ISO4406_SIZES_UM_C
)
CLASSES = word("class", cleanliness.NAS1638_PER_100ML)
SIZE = positive("size_um", "um")
SOLID = positive("solid_rho", "kg/m3")
LIQUID = positive("rho", "kg/m3")
MU = positive("mu_pa_s", "Pa.s")


@figure(
    "cleanliness-code",
    *COUNTS,
    unit="code",
    method="code numbers of the counts above 4, 6 and 14 um(c); a limit belongs to its own code; without n4 "
    "(microscope, 5 and 15 um) a dash first",
    source="ISO 4406 range table (status: FOUND in reproductions)",
)
def _code(n6: float, n14: float, n4: float | None = None) -> str:
    return cleanliness.iso4406((n4, n6, n14))


@figure(
    "cleanliness-range",
    Input("code", low=0.0, high=28.0, whole=True),
    unit="1/mL, 1/mL",
    method="counts over the first and up to the second",
    source="ISO 4406 range table (status: FOUND in reproductions)",
)
def _range(code: int) -> list[float]:
    return list(cleanliness.iso4406_range_per_ml(code))


@figure(
    "nas-1638-limits",
    CLASSES,
    unit="1/100 mL",
    method="most particles of 5-15, 15-25, 25-50, 50-100 and over 100 um",
    source="NAS 1638 table (status: FOUND in public texts)",
)
def _nas(class_: str) -> list[int]:
    return list(cleanliness.NAS1638_PER_100ML[class_])


@figure(
    "nas-1638-class",
    *(Input(key, "1/100 mL", low=0.0) for key in ("n5_15", "n15_25", "n25_50", "n50_100", "n100")),
    unit="class",
    method="smallest class whose five limits hold every count",
    source="NAS 1638 table (status: FOUND in public texts)",
)
def _nas_class(n5_15: float, n15_25: float, n25_50: float, n50_100: float, n100: float) -> str:
    return cleanliness.nas1638_class((n5_15, n15_25, n25_50, n50_100, n100))


@figure(
    "navy-fluid-limits",
    Input("class", choices=(*cleanliness.NAVY_PER_100ML, "new-5606")),
    unit="1/100 mL",
    method="most particles of 5-10, 10-25, 25-50, 50-100 and over 100 um; for new fluid of MIL-PRF-5606H "
    "the first two bands are 5-15 and 15-25 um",
    source="Navy aviation hydraulics manual, MIL-PRF-5606H, as reproduced publicly (status: FOUND)",
)
def _navy(class_: str) -> list[int]:
    return list(cleanliness.NAVY_PER_100ML.get(class_, cleanliness.NEW_5606_PER_100ML))


@figure(
    "navy-fluid-class",
    *(Input(key, "1/100 mL", low=0.0) for key in ("n5_10", "n10_25", "n25_50", "n50_100", "n100")),
    unit="class",
    method="smallest Navy class whose five limits hold every count",
    source="Navy aviation hydraulics manual, as reproduced publicly (status: FOUND)",
)
def _navy_class(n5_10: float, n10_25: float, n25_50: float, n50_100: float, n100: float) -> str:
    return cleanliness.navy_class((n5_10, n10_25, n25_50, n50_100, n100))


@figure(
    "as4059-limits",
    word("class", cleanliness.AS4059_A_PER_100ML),
    unit="1/100 mL",
    method="cumulative limits above 6, 14, 21, 38 and 70 um(c), sizes B to F: running sums of the NAS 1638 "
    "bands; `size_a` above 4 um(c)",
    source="identity of the two standards; size A and class 000 recalled (status: MEMORY); newer issues "
    "round to three figures",
)
def _as4059(class_: str) -> dict[str, Any]:
    limits = list(cleanliness.as4059_cumulative_per_100ml(class_))
    return {"values": limits, "size_a": cleanliness.AS4059_A_PER_100ML[class_]}


@figure(
    "as4059-class",
    *(Input(f"n{size}", "1/100 mL", low=0.0, optional=True) for size in (4, 6, 14, 21, 38, 70)),
    unit="class",
    method="smallest class whose cumulative limits hold the counts above 4, 6, 14, 21, 38 and 70 um(c), as "
    "many as are given; `by_size` each alone",
    source="AS4059 as in `as4059-limits`",
)
def _as4059_class(
    n4: float | None = None,
    n6: float | None = None,
    n14: float | None = None,
    n21: float | None = None,
    n38: float | None = None,
    n70: float | None = None,
) -> dict[str, Any]:
    counts = (n4, n6, n14, n21, n38, n70)
    made = [place for place, count in enumerate(counts) if count is not None]
    if not made:
        raise FigureError("as4059-class: missing all of n4, n6, n14, n21, n38 and n70; expected one at least")
    alone = {
        "ABCDEF"[place]: cleanliness.as4059_class((None,) * place + (counts[place],) + (None,) * (5 - place))
        for place in made
    }
    return {"value": cleanliness.as4059_class(counts), "by_size": alone}


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
    method="24/Re (1 + 0.15 Re^0.687) to Re 1000, 0.44 above",
    source="Schiller & Naumann 1933",
)
def _drag(re: float) -> float:
    return drag.schiller_naumann(re)


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
