"""Which published value each reference row is worked out by, and why some rows are not.

`RULES` maps a pattern of row ids to a function of the row's inputs that asks the model, wherever there is one
through the named figure a user would call. `covered()` and `not_covered()` feed tables and reports.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Callable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from glasscan.formulas.registry import evaluate
from glasscan.laws import cleanliness, grades, pleats, viscosity
from glasscan.units import convert

from tests.references import runs

DATA = Path(__file__).parents[1] / "data" / "reference_checks.yaml"
Inputs = Mapping[str, Any]
Rule = Callable[[str, Inputs], Any]


def rows() -> list[dict[str, Any]]:
    """All rows: id, quantity, inputs, value, unit, rel_tol, source, status, note."""
    data: dict[str, Any] = yaml.safe_load(DATA.read_text(encoding="utf-8"))
    return list(data["checks"])


def rule_for(row_id: str) -> Rule | None:
    """The function that works a row out, or None."""
    return next((rule for pattern, rule in RULES.items() if re.fullmatch(pattern, row_id)), None)


def reason_for(row_id: str) -> str | None:
    """Why a row is not worked out here, or None where no reason is on record."""
    return next((why for pattern, why in REASONS.items() if re.fullmatch(pattern, row_id)), None)


def covered() -> list[str]:
    """Ids of the rows worked out by the model."""
    return [row["id"] for row in rows() if rule_for(row["id"])]


def not_covered() -> dict[str, str]:
    """Reason by id of the rows that are not."""
    return {row["id"]: reason_for(row["id"]) or "" for row in rows() if not rule_for(row["id"])}


def value_of(name: str, **inputs: Any) -> Any:
    """Main result of a figure, one number or a list."""
    result = evaluate(name, inputs)
    return result["value"] if "value" in result else result["values"]


def _solved_array(_id: str, i: Inputs) -> float:
    """Drag by the two-dimensional solver, as a user asks for it."""
    return _array(float(i["phi"]))


@cache
def _array(phi: float) -> float:
    return float(value_of("cylinder-array", solid_fraction=phi))


def _of_oil(name: str, *keys: str) -> Rule:
    return lambda _id, i: value_of(name, kv40=i["kv40"], kv100=i["kv100"], **{k: i[k] for k in keys})


def _at(_id: str, i: Inputs) -> float:
    at_c = i.get("T_C", 60.0)
    return float(value_of("kinematic-viscosity", kv40=i["kv40"], kv100=i["kv100"], at_c=at_c))


def _roundtrip(_id: str, _i: Inputs) -> float:
    """The model's own inverse (the printed cubic one misses the bound: 2.8e-4 near 0.26 mm2/s)."""
    nu = np.geomspace(0.21, 10.0, 2001)
    return float(np.max(np.abs(viscosity.nu_from_z(viscosity.z_from_nu(nu)) / nu - 1.0)))


def _measured(_id: str, i: Inputs) -> float:
    points = {"t1_c": 30, "mu1_pa_s": 1e-3 * i["mu30_mPas"], "t2_c": 100, "mu2_pa_s": 1e-3 * i["mu100_mPas"]}
    oil = {"rho15": i["rho15_assumed"], "alpha_per_k": i["alpha_per_K"]}
    return float(1e3 * value_of("dynamic-viscosity-through", **points, **oil, at_c=60))


def _cold_ratio(cold_c: float, hot_c: float) -> Rule:
    return lambda _id, i: value_of("viscosity-ratio", **i, cold_c=cold_c, hot_c=hot_c)


def _fluid_limits(row_id: str, _i: Inputs) -> list[float]:
    """In the order of the row: least, then most."""
    return list(value_of("fluid-limits", spec=f"mil-prf-{row_id.removeprefix('visc.mil')}"))


def _fluid_densities(_id: str, i: Inputs) -> list[list[float]]:
    return [evaluate("fluid-limits", {"spec": f"mil-prf-{name}"})["density_kg_m3"] for name in i]


def _laminar_limits(_id: str, _i: Inputs) -> list[int]:
    """The Reynolds numbers up to which the figure calls the flow laminar, and undecided."""
    kind = {
        re: evaluate("reynolds", {"rho": 1000, "speed_m_s": re, "diameter_mm": 1, "mu_pa_s": 1})["regime"]
        for re in range(100, 4000, 100)
    }
    return [max(re for re in kind if kind[re] == word) for word in ("laminar", "turning")]


def _duct(name: str, **millimetres: str) -> Rule:
    def flow(_id: str, i: Inputs) -> Any:
        sizes = {key: 1e3 * i[source] for key, source in millimetres.items()}
        return value_of(name, dp_pa=i["dp"], mu_pa_s=i["mu"], **sizes)

    return flow


def _plane_shear(_id: str, i: Inputs) -> float:
    given = {"gap_mm": 1e3 * i["h"], "length_mm": 1e3 * i["L"], "dp_pa": i["dp"], "mu_pa_s": 1.0}
    return float(evaluate("plane-channel", given)["wall_shear_pa"])


def _f_re_limits(_id: str, _i: Inputs) -> list[float]:
    return [value_of("annulus-f-re", ri_over_ro=0), value_of("rectangle-f-re", aspect=0)]


def _disc(key: str) -> Rule:
    def drop(_id: str, i: Inputs) -> Any:
        given = {"gap_um": 1e6 * i["h"], "ro_mm": 1e3 * i["ro"], "ri_mm": 1e3 * i["ri"]}
        other = {"mu_pa_s": i.get("mu", 1.0), "rho": i.get("rho", 0.0), "flow_m3_s": i["Q_per_gap"]}
        return evaluate("disc-gap", {**given, **other})[key]

    return drop


def _gap_ratio(thin_um: float, wide_um: float) -> Rule:
    return lambda _id, _i: value_of("disc-gap-ratio", gap_um=thin_um, other_gap_um=wide_um)


def _pack(_id: str, i: Inputs) -> Any:
    size = {"gap_um": 1e6 * i["h"], "ro_mm": 1e3 * i["ro"], "ri_mm": 1e3 * i["ri"], "mu_pa_s": i["mu"]}
    return value_of("disc-pack", gaps=i["N"], flow_lpm=6e4 * i["Q_total"], **size)


def _sector(_id: str, i: Inputs) -> float:
    given = {"gaps": 60, "flow_lpm": 20, "gap_um": 127, "ro_mm": 20, "ri_mm": 12, "mu_pa_s": 0.05}
    return float(value_of("disc-pack", **given, open_fraction=i["f"]) / value_of("disc-pack", **given))


def _spring(_id: str, i: Inputs) -> Any:
    spring = {"seat_mm": 1e3 * i["d"], "rate_n_m": i["k_N_m"], "cracking_kpa": 1e-3 * i["p0"]}
    return value_of("spring-valve", flow_lpm=i["Q_Lmin"], cd=i["Cd"], rho=i["rho"], **spring)


def _plates(row_id: str, i: Inputs) -> list[float]:
    beta = float(row_id.rsplit("b0", 1)[1]) / 10.0
    return [value_of("orifice-plate-low-re", beta=beta, re_pipe=re_pipe) for re_pipe in i["Re_D"]]


def _fit(first: int, i: Inputs) -> dict[str, Any]:
    readings = {"t_s": i["t_s"][first:], "v_m3": i["V_m3"][first:]}
    sizes = {"area_m2": i["A"], "dp_pa": i["dp"], "solids_kg_m3": i["c_s"], "mu_pa_s": i["mu"]}
    return evaluate("cake-fit", {**readings, **sizes})


def _ruth_constants(first: int) -> Rule:
    return lambda _id, i: _fit(first, i)["values"]


def _ruth_resistances(_id: str, i: Inputs) -> list[float]:
    found = _fit(1, i)
    return [found["alpha_m_kg"], found["medium_1_m"]]


def _wash_and_cycle(_id: str, i: Inputs) -> list[float]:
    run = {"kp": i["Kp_press"], "b": i["B_press"], "volume_m3": i["V"]}
    wash = value_of("wash-time", **run, wash_m3=i["V_wash"])
    return [wash, (value_of("cake-time", **run) + wash) / 60.0 + 20.0]


def _drum(_id: str, i: Inputs) -> Any:
    slurry = {"slurry_kg_s": i["slurry_kg_s"], "solid_mass_fraction": i["c_x"], "wet_to_dry": i["m"]}
    cake = {"alpha0": 4.37e9, "alpha_power": 0.3, "dp_pa": i["dp"], "mu_pa_s": i["mu"], "rho": i["rho"]}
    return value_of("drum-area", **slurry, **cake, cycle_s=i["t_c"], submerged=i["f"])


def _constant_rate(_id: str, i: Inputs) -> Any:
    readings = {"t1": 120.0, "dp1": i["p2min"], "t2": 300.0, "dp2": i["p5min"]}
    return value_of("constant-rate-drop", q=i["q"], t=1800.0, **readings)


def _multipass(_id: str, i: Inputs) -> list[float]:
    given = {"flow_lpm": i["Q_Lmin"], "volume_l": i["V_L"], "base_mg_l": i["cb_mgL"], "beta": i["beta"]}
    at_60, at_300 = (evaluate("multipass", {**given, "at_s": t}) for t in (60.0, 300.0))
    return [at_60["settled_mg_l"], at_60["tau_s"], at_60["value"], at_300["value"]]


def _pleat_trend(_id: str, _i: Inputs) -> bool:
    best = [pleats.optimum(5e-4, k, 0.02, 0.05, 0.01) for k in (1e-10, 1e-11, 1e-12)]
    interior = all(
        pleats.element_drop_pa(f * b.spacing_m, 5e-4, k, 0.02, 0.05, 0.01) > b.dp_pa
        for f in (0.5, 2.0)
        for b, k in zip(best, (1e-10, 1e-11, 1e-12), strict=True)
    )
    return interior and best[0].pleats_per_m < best[1].pleats_per_m < best[2].pleats_per_m


def _doubling(_id: str, i: Inputs) -> float:
    limits = cleanliness.ISO4406_UPPER_PER_ML
    odd = {int(key.split("->")[0]): ratio for key, ratio in i["except"].items()}
    ratios = [high / low for low, high in itertools.pairwise(limits)]
    assert all(math.isclose(ratios[code], ratio, rel_tol=1e-6) for code, ratio in odd.items())
    plain = [ratio for code, ratio in enumerate(ratios) if code not in odd]
    return max(plain, key=lambda ratio: abs(ratio - 2.0))


def _limits(grade: str) -> Rule:
    def pairs(_id: str, i: Inputs) -> list[list[float]]:
        told = evaluate("dust-table", {"grade": grade})
        assert told["values"] == [float(um) for um in i["um"]]
        return [list(pair) for pair in zip(told["low"], told["high"], strict=True)]

    return pairs


def _bands(grade: str) -> Rule:
    """Band shares of a legacy dust; the tolerance beside each is the specification's, not the model's."""
    return lambda _id, _i: evaluate("dust-table", {"grade": grade})["bands"]


def _a3(_id: str, _i: Inputs) -> list[float]:
    finer = [value_of("dust-finer", grade="a3", um=um) for um in (15, 25)]
    return [value_of("dust-size", grade="a3"), *finer]


def _settling(size_um: float, i: Inputs, key: str = "value") -> Any:
    other = {"solid_rho": i["rho_p"], "rho": i["rho_f"], "mu_pa_s": i["mu"]}
    return evaluate("settling", {"size_um": size_um, **other})[key]


def _hindered(_id: str, i: Inputs) -> Any:
    other = {"solid_rho": i["rho_p"], "rho": i["rho_f"], "mu_pa_s": i["mu"]}
    return value_of("hindered-settling", size_um=1e6 * i["d"], solid_mass_fraction=0.6, **other)


def _converted(old: str, new: str, key: str | None = None) -> Rule:
    def change(_id: str, i: Inputs) -> Any:
        raw = i[key or {"inch": "inch", "psi": "psi"}.get(old, old)]
        many = [convert(x, old, new) for x in (raw if isinstance(raw, list) else [raw])]
        return many if isinstance(raw, list) else many[0]

    return change


def _fibre(law: str) -> Rule:
    return lambda _id, i: value_of("fibre-permeability", law=law, solid_fraction=i["phi"])


def _sae(key: str) -> Rule:
    """A limit of every grade that has it, from the figures."""
    return lambda _id, _i: {
        grade: told[key]
        for grade in grades.SAE_KV100
        if key in (told := evaluate("sae-grade-limits", {"grade": grade}))
    }


def _piston_ranges(_id: str, _i: Inputs) -> dict[str, Any]:
    return {grade: value_of("sae-grade-limits", grade=grade) for grade in grades.PISTON_NAMES}


def _winter(*places: int) -> Rule:
    def limits(_id: str, _i: Inputs) -> dict[str, Any]:
        told = {grade: value_of("sae-winter-limits", grade=grade) for grade in grades.WINTER}
        return {grade: [values[place] for place in places] for grade, values in told.items()}

    return limits


RULES: dict[str, Rule] = {
    r"visc\.iso3448\.mid": lambda _id, i: [value_of("iso-grade-limits", grade=g)[1] for g in i["grades"]],
    r"visc\.(j300\.kv100)": _sae("values"),
    r"visc\.j300\.hths": _sae("high_shear_mpa_s"),
    r"visc\.j300\.ccs": _winter(0, 1),
    r"visc\.j300\.mrv": _winter(2),
    r"visc\.j300\.kvminW": _winter(3),
    r"visc\.avgrades": _sae("piston_name"),
    r"visc\.avgrades\.kv": _piston_ranges,
    r"graetz\.plates": lambda _id, _i: value_of("plates-nusselt"),
    r"taylor\.aris": lambda _id, i: value_of("channel-dispersion", peclet=i["Pe"]),
    r"navair\.classes": lambda _id, _i: {
        name: value_of("navy-fluid-limits", **{"class": name}) for name in cleanliness.NAVY_PER_100ML
    },
    r"mil5606\.dirt": lambda _id, _i: value_of("navy-fluid-limits", **{"class": "new-5606"}),
    r"balance\.mass": runs.books,
    r"rule\.blocked": runs.blocked,
    r"bypass\.lockout": runs.lockout,
    r"dens\.(steel|silica)": lambda row_id, _i: value_of(
        "material-density", material=row_id.partition(".")[2]
    ),
    r"visc\.d341\.Z_.*": lambda _id, i: value_of("d341-z", nu=i["nu_mm2s"]),
    r"visc\.d341\.roundtrip": _roundtrip,
    r"visc\.d341\.AB\..*": _of_oil("viscosity-constants"),
    r"visc\.(d341\..*C|walther60\..*)": _at,
    r"visc\.measured\..*": _measured,
    r"visc\.vi\.lib\..*": _of_oil("viscosity-index"),
    r"visc\.vi\.LH_.*": lambda _id, i: value_of("viscosity-index-basis", kv100=i["kv100"]),
    r"visc\.vi\..*": lambda _id, i: evaluate("viscosity-index", i)["rounded"],
    r"visc\.mil5606\.m54": lambda _id, _i: value_of(
        "kinematic-viscosity-through", t1_c=-40, nu1=600, t2_c=40, nu2=13.2, at_c=-54
    ),
    r"visc\.mil\d+": _fluid_limits,
    r"visc\.milfluid\.density": _fluid_densities,
    r"visc\.d6080": lambda _id, _i: value_of("hydraulic-viscosity-range"),
    r"flow\.Re\.limit": _laminar_limits,
    r"orifice\.free": lambda _id, i: [value_of("free-orifice", head_ft=head) for head in i["head_ft"]],
    r"rule\.warn": runs.warned,
    r"edge\.how": runs.outside_to_centre,
    r"visc\.coldratio": _cold_ratio(0.0, 100.0),
    r"visc\.coldratio20": _cold_ratio(20.0, 80.0),
    r"visc\.T1000\..*": lambda _id, i: value_of("viscosity-temperature", **i, nu=1000),
    r"rho\.d1250\.alpha\..*": lambda _id, i: value_of("expansion", rho15=i["rho15"]),
    r"rho\.d1250\..*C": lambda _id, i: value_of("density", rho15=i["rho15"], at_c=i["T_C"]),
    r"cp\.cragoe\..*": lambda _id, i: 1e-3 * value_of("specific-heat", sg=i["sg"], at_c=i["T_C"]),
    r"k\.cragoe\..*": lambda _id, i: value_of("conductivity", sg=i["sg"], at_c=i["T_C"]),
    r"heat\.throttle": lambda _id, i: value_of("throttling-rise", dp_kpa=1000, **i),
    r"flow\.plane\.q": _duct("plane-channel", gap_mm="h", length_mm="L"),
    r"flow\.plane\.tau": _plane_shear,
    r"flow\.pipe\.Q": _duct("pipe", radius_mm="R", length_mm="L"),
    r"flow\.annulus\.Q": _duct("annulus", ro_mm="Ro", ri_mm="Ri", length_mm="L"),
    r"flow\.annulus\.fRe\..*": lambda _id, i: value_of("annulus-f-re", **i),
    r"flow\.rect\.fRe\..*": lambda _id, i: value_of("rectangle-f-re", **i),
    r"flow\.limits\.fRe": _f_re_limits,
    r"disc\.visc\..*": _disc("viscous_pa"),
    r"disc\.inertia\..*": _disc("inertia_pa"),
    r"disc\.h3": _gap_ratio(100.0, 200.0),
    r"disc\.gap76to127": _gap_ratio(76.2, 127.0),
    r"disc\.pack": _pack,
    r"disc\.sector": _sector,
    r"flow\.darcy\.shell": lambda _id, i: value_of(
        "darcy-shell",
        length_mm=1e3 * i["L"],
        k_m2=i["k"],
        dp_pa=i["dp"],
        mu_pa_s=i["mu"],
        ro_mm=1e3 * i["ro"],
        ri_mm=1e3 * i["ri"],
    ),
    r"flow\.brinkman\..*": lambda _id, i: value_of("brinkman-closed-form", lam=i["lambda"]),
    r"flow\.bj\.alpha": lambda _id, i: [
        value_of("slip-coefficient", body=f"{kind}-{pore}")
        for kind in ("foam", "alumina")
        for pore in i[f"{kind}_mean_pore_in"]
    ],
    r"flow\.bj\.\d.*": lambda _id, i: value_of("beavers-joseph", **i),
    r"flow\.berman\.-?\d.*": lambda _id, i: value_of("berman", r_wall=i["R_wall"]),
    r"flow\.berman\.dp": lambda _id, i: value_of(
        "porous-wall-drop",
        u0_m_s=i["U0"],
        wall_m_s=i["v_w"],
        half_height_mm=1e3 * i["hh"],
        x_mm=1e3 * i["x"],
        mu_pa_s=i["mu"],
    ),
    r"flow\.slit2d": _duct("thin-slit", half_width_mm="a"),
    r"flow\.slit2d\.profile": lambda _id, i: evaluate(
        "thin-slit", {"half_width_mm": 1e3 * i["a"], "dp_pa": i["dp"], "mu_pa_s": i["mu"]}
    )["centre_m_s"],
    r"flow\.slit2d\.thick": lambda _id, i: value_of(
        "thick-slit", width_mm=1e3 * i["w"], thickness_mm=1e3 * i["t"], mu_pa_s=i["mu"], flow_m2_s=i["q"]
    ),
    r"flow\.sampson": _duct("thin-hole", radius_mm="a"),
    r"flow\.dagan": lambda _id, i: value_of(
        "thick-hole", radius_mm=1e3 * i["a"], thickness_mm=1e3 * i["t"], mu_pa_s=i["mu"], flow_m3_s=i["Q"]
    ),
    r"flow\.couette\.torque": lambda _id, i: value_of(
        "couette-torque",
        mu_pa_s=i["mu"],
        ri_mm=1e3 * i["ri"],
        ro_mm=1e3 * i["ro"],
        rad_s=i["omega_rad_s"],
    ),
    r"flow\.kirchhoff": lambda _id, _i: value_of("slot-contraction"),
    r"orifice\.laminar\.delta": lambda _id, _i: evaluate("orifice-transition", {"shape": "slit"})["delta"],
    r"orifice\.lowRe\..*": _plates,
    r"orifice\.iso5167\..*": lambda _id, i: value_of(
        "orifice-plate", beta=0.5, re_pipe=i["Re_D"], pipe_mm=1e3 * i["D"]
    ),
    r"valve\.poppet\.area": lambda _id, i: (
        1e-6
        * value_of(
            "poppet-area", seat_mm=1e3 * i["D"], lift_mm=1e3 * i["x"], half_angle_deg=i["half_angle_deg"]
        )
    ),
    r"valve\.disc\.area": lambda _id, i: (
        1e-6 * value_of("disc-area", seat_mm=1e3 * i["D"], lift_mm=1e3 * i["x"])
    ),
    r"valve\.ball\..*": lambda _id, i: (
        1e-6 * value_of("ball-area", ball_mm=1e3 * i["Db"], seat_mm=1e3 * i["d_seat"], lift_mm=1e3 * i["x"])
    ),
    r"valve\.crack": lambda _id, i: value_of("cracking-force", dp_kpa=1e-3 * i["dp"], seat_mm=1e3 * i["d"]),
    r"valve\.spring\..*": _spring,
    r"valve\.flowforce": lambda _id, _i: value_of("flow-force-factor", cd=0.61, cv=0.98, jet_angle_deg=69),
    r"drag\.sn\..*": lambda _id, i: value_of("sphere-drag", re=i["Re"]),
    r"settle\.stokes\.droplet": lambda _id, i: _settling(1e6 * i["d"], i, "stokes"),
    r"settle\.steel\.oil": lambda _id, i: _settling(1e6 * i["d"], i),
    r"settle\.hindered": _hindered,
    r"settle\..*": lambda _id, i: [
        value_of("stokes-speed", size_um=um, solid_rho=i["rho_p"], rho=i["rho_f"], mu_pa_s=i["mu"])
        for um in (10, 40)
    ],
    r"array\.(sa|hp)\..*": _solved_array,
    r"array\.series": lambda _id, i: value_of("cylinder-array-dilute", solid_fraction=i["phi"]),
    r"array\.dt\..*": _fibre("drummond-tahir"),
    r"array\.lub\..*": lambda _id, i: value_of("cylinder-array-dense", solid_fraction=i["phi"]),
    r"kuwabara\..*": _fibre("kuwabara"),
    r"happel\..*": _fibre("happel"),
    r"davies\..*": _fibre("davies"),
    r"jackson\..*": _fibre("jackson-james"),
    r"media\.davies\.example": lambda _id, i: evaluate(
        "fibre-permeability", {"law": "davies", "solid_fraction": i["phi"], "fibre_um": 1e6 * i["d_f"]}
    )["k_m2"],
    r"media\.kc": lambda _id, i: value_of("grain-permeability", porosity=i["eps"], grain_um=1e6 * i["d"]),
    r"media\.kc\.alpha": lambda _id, i: value_of(
        "cake-resistance", porosity=i["eps"], grain_um=1e6 * i["d"], solid_rho=i["rho_s"]
    ),
    r"leeliu\..*": lambda _id, i: value_of(
        "single-fibre", solid_fraction=i["alpha"], peclet=i["Pe"], size_ratio=i["R"]
    ),
    r"fibre\.penetration": lambda _id, i: value_of(
        "fibre-penetration",
        solid_fraction=i["a"],
        efficiency=i["E"],
        thickness_mm=1e3 * i["t"],
        fibre_um=1e6 * i["d_f"],
    ),
    r"bubble\.\d+": lambda _id, i: value_of(
        "bubble-pressure", pore_um=i["d_um"], tension_n_m=i["gamma"], contact_deg=i["theta"]
    ),
    r"pleat\.pair": lambda _id, i: value_of(
        "pleat-closed-form",
        spacing_mm=1e3 * i["s"],
        length_mm=1e3 * i["L"],
        thickness_mm=1e3 * i["t"],
        k_m2=i["k"],
        mu_pa_s=i["mu"],
        flow_m2_s=i["Q_per_width"],
    ),
    r"pleat\.opt\..*": lambda _id, i: value_of(
        "pleat-optimum",
        medium_mm=1e3 * i["t"],
        length_mm=1e3 * i["L"],
        permeability_m2=i["k"],
        mu_pa_s=i["mu"],
        face_m_s=i["face_velocity"],
    ),
    r"pleat\.trend": _pleat_trend,
    r"ruth\.geank\.(book|fit9)": _ruth_constants(1),
    r"ruth\.geank\.fit10": _ruth_constants(0),
    r"ruth\.geank\.alpha": _ruth_resistances,
    r"ruth\.geank\.press": lambda _id, i: value_of(
        "cake-time", kp=i["Kp_press"], b=i["B_press"], volume_m3=i["V"]
    ),
    r"ruth\.geank\.wash": _wash_and_cycle,
    r"ruth\.geank\.drum": _drum,
    r"rate\.pff81": _constant_rate,
    r"hermia\.cp\..*": lambda row_id, _i: value_of(
        "blocking", law=row_id.rsplit(".", 1)[1], j0=1, k=1, at_s=1
    ),
    r"hermia\.cr\..*": lambda row_id, _i: value_of(
        "blocking-constant-rate", law=row_id.rsplit(".", 1)[1], kv=0.5
    ),
    r"beta\.\d.*": lambda _id, i: value_of("beta-efficiency", beta=i["beta"]),
    r"hyd\.paper": lambda _id, _i: value_of("beta-efficiency", beta=100),
    r"multipass\..*": _multipass,
    r"cleanup\..*": lambda _id, i: value_of("cleanup-turnovers", beta=i["beta"]),
    r"iso4406\.table": lambda _id, i: [value_of("cleanliness-range", code=code)[1] for code in i["code"]],
    r"iso4406\.sizes": lambda _id, _i: list(cleanliness.ISO4406_SIZES_UM_C),
    r"iso4406\.doubling": _doubling,
    r"iso4406\.code\..*": lambda _id, i: value_of(
        "cleanliness-code", **dict(zip(("n4", "n6", "n14"), i["per_mL"], strict=True))
    ),
    r"iso4406\.read": lambda _id, _i: {c: value_of("cleanliness-range", code=c) for c in ("14", "12", "7")},
    r"nas1638\.table": lambda _id, _i: {
        name: value_of("nas-1638-limits", **{"class": name}) for name in cleanliness.NAS1638_PER_100ML
    },
    r"as4059\.cum\..*": lambda _id, i: value_of("as4059-limits", **{"class": i["class"]}),
    r"as4059\.A": lambda _id, _i: {
        name: evaluate("as4059-limits", {"class": name})["size_a"] for name in ("5", "6", "7", "8")
    },
    r"size\.map": lambda _id, i: [evaluate("particle-size", {"um": um})["rounded"] for um in i["um"]],
    r"size\.map\.full": lambda _id, i: [value_of("particle-size", um=um) for um in i["um"]],
    r"dust\.A1": _limits("a1"),
    r"dust\.A1\.d50": lambda _id, _i: value_of("dust-size", grade="a1"),
    r"dust\.A3\.1997": _limits("a3"),
    r"dust\.A3\.interp": _a3,
    r"dust\.legacy\.fine": _bands("legacy-fine"),
    r"dust\.legacy\.coarse": _bands("legacy-coarse"),
    r"mass\.q10": lambda _id, i: value_of("sphere-mass", size_um=10, solid_rho=i["rho"]),
    r"brown\.1um": lambda _id, i: value_of(
        "brownian-diffusivity", at_c=i["T"] - 273.15, mu_pa_s=i["mu"], size_um=1e6 * i["d"]
    ),
    r"bypass\.(ships|tm\d|hyd|ind70|light)": _converted("psi", "kPa"),
    r"antidrain|hyd\.(pressures|1500)|collapse\..*|fatigue\.hyd|practice\.green": _converted("psi", "kPa"),
    r"edge\.(ships|test|usual)": _converted("inch", "um"),
    r"element\.spring": _converted("lbf", "N"),
    r"burst\.housing": lambda _id, i: [
        convert(i["psi"], "psi", "kPa"),
        convert(i["ft_lb"], "ft.lbf", "N.m"),
    ],
    r"element\.flowtest": lambda _id, i: [
        convert(i["gpm"], "gal/min", "L/min"),
        convert(i["psi"], "psi", "kPa"),
    ],
    r"practice\.spinon": _converted("ft.lbf", "N.m", key="ft_lb"),
    r"practice\.preheat": _converted("degF", "degC", key="F"),
    r"practice\.bowl": _converted("turn", "deg"),
}
"""How each row is worked out; the first pattern that fits counts."""

REASONS: dict[str, str] = {
    r"visc\.d341\.form": "words of the law; its numbers are the rows after it",
    r"valve\.Cd": "usual range of an input: the shipped valves lie in it (tests/references/test_trade.py)",
    r"(dfg|cavity)\..*": "flow with inertia: the section solver is for creeping flow",
    r"bubble\.spec": "a reject limit of a specification: the shipped elements pass it "
    "(tests/references/test_trade.py)",
    r"beta\.spec": "a target of a specification: the shipped pleated elements meet the mean one, not the "
    "absolute one (tests/references/test_trade.py)",
    r"iso4548_12\..*": "scope of a test standard",
    r"ff351\..*": "dirt feeds of a test standard: inputs of gravimetric-level",
    r"srm2806": "a reference material the model does not use",
    r"edge\.stuck|bypass\.two|rule\.sump|iso\..*|hyd\.(ratings|steel)": "trade statement",
    r"element\.migration|practice\..*|dens\.others": "trade statement or material data",
    r"size\.visible|wear\..*": "trade statement or material data",
}
"""Why the other rows are not."""
