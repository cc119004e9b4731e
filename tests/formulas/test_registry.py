"""The registry of figures: what it returns, and that every wrong question gets one clear line."""

import contextlib
import inspect
import json
import keyword
import math

import pytest
from glasscan.formulas import registry
from glasscan.formulas.registry import (
    FigureError,
    Input,
    describe,
    evaluate,
    figure,
    find,
    names,
    positive,
    word,
)
from hypothesis import given
from hypothesis import strategies as st

AGREED = {
    "kinematic-viscosity": {"kv40", "kv100", "at_c"},
    "viscosity-index": {"kv40", "kv100"},
    "density": {"rho15", "at_c"},
    "spring-valve": {"flow_lpm", "seat_mm", "rate_n_m", "cracking_kpa", "cd", "rho"},
    "disc-gap": {"gap_um", "ro_mm", "ri_mm", "mu_pa_s", "rho", "flow_m3_s"},
    "cake-time": {"kp", "b", "volume_m3"},
    "blocking": {"law", "j0", "k", "at_s"},
    "multipass": {"flow_lpm", "volume_l", "base_mg_l", "beta", "at_s"},
    "beta-efficiency": {"beta"},
    "cleanliness-code": {"n4", "n6", "n14"},
    "pleat-optimum": {"medium_mm", "permeability_m2", "length_mm", "mu_pa_s", "face_m_s"},
}
"""Names and inputs that others call by."""

SPRING = {
    "flow_lpm": "10",
    "seat_mm": "12",
    "rate_n_m": "8000",
    "cracking_kpa": "125",
    "cd": ".61",
    "rho": "870",
}


@pytest.mark.parametrize("name", AGREED)
def test_agreed_names_take_their_agreed_inputs(name: str) -> None:
    """Each agreed figure exists, takes the agreed keys and needs no others."""
    entry = find(name)
    keys = {item.key for item in entry.inputs}
    assert AGREED[name] <= keys
    assert {item.key for item in entry.inputs if item.needed} <= AGREED[name]


@pytest.mark.parametrize("name", names())
def test_every_figure_is_well_made(name: str) -> None:
    """Name in small letters, a method, a source, one-line help, inputs that match the law's parameters."""
    entry = find(name)
    assert name == name.lower()
    assert " " not in name
    assert entry.method
    assert entry.source
    assert "\n" not in describe(name)
    keys = [item.key + "_" * keyword.iskeyword(item.key) for item in entry.inputs]
    assert sorted(inspect.signature(entry.law).parameters) == sorted(keys)


def plausible(item: Input) -> float | str:
    """A middling value inside an input's range."""
    if item.choices:
        return item.choices[0]
    if item.default is not None:
        return item.default
    if item.many:
        return "1,2,3"
    low, high = max(item.low, -1e3), min(item.high, 1e3)
    return 1.0 if low < 1.0 < high else low + 0.25 * (high - low) if not item.whole else math.ceil(low)


OWN = {
    "bolt-count": {"bolt_mm": 8, "pitch_mm": 1.25},
    "blocking-constant-rate": {"law": "cake", "kv": 1},
    "orifice-plate": {"beta": 0.5, "re_pipe": 1e5, "pipe_mm": 100},
    "annulus": {"ro_mm": 2, "ri_mm": 1},
    "as4059-class": {"n6": 300},
    "beta-from-efficiency": {"efficiency": 0.9},
    "drum-area": {"wet_to_dry": 2, "solid_mass_fraction": 0.2},
    "hindered-settling": {"solid_mass_fraction": 0.2},
    "viscosity-constants-through": {"t1_c": 40, "nu1": 100, "t2_c": 100, "nu2": 10},
    "viscosity-temperature-through": {"t1_c": 40, "nu1": 100, "t2_c": 100, "nu2": 10, "nu": 50},
    "dynamic-viscosity-through": {"t1_c": 40, "mu1_pa_s": 0.1, "t2_c": 100, "mu2_pa_s": 0.01},
    "viscosity-ratio": {"kv40": 100, "kv100": 10, "cold_c": 0, "hot_c": 90},
    "ball-area": {"ball_mm": 2, "seat_mm": 1},
    "convert": {"value": 1, "old": "psi", "new": "kPa"},
    "couette-torque": {"ro_mm": 2, "rpm": 10},
    "cylinder-array-dense": {"solid_fraction": 0.5},
    "darcy-shell": {"ro_mm": 2},
    "disc-gap": {"ro_mm": 2},
    "disc-pack": {"ro_mm": 2},
    "dynamic-viscosity": {"kv40": 100, "kv100": 10},
    "fibre-permeability": {"solid_fraction": 0.1},
    "kinematic-viscosity": {"kv40": 100, "kv100": 10},
    "kinematic-viscosity-through": {"t1_c": 40, "nu1": 100, "t2_c": 100, "nu2": 10},
    "constant-rate-drop": {"t1": 1, "t2": 2},
    "cleanup-turnovers": {"beta": 2},
    "viscosity-constants": {"kv40": 100, "kv100": 10},
    "viscosity-index": {"kv40": 100, "kv100": 10},
    "viscosity-index-basis": {"kv100": 10},
    "viscosity-temperature": {"kv40": 100, "kv100": 10, "nu": 50},
}
"""Inputs where the middling values of each key would not make sense together."""
LIGHT = [name for name in names() if "cells" not in {item.key for item in find(name).inputs}]
"""Figures of closed laws; those that run a solver are tested with the solver."""


@pytest.mark.parametrize("name", LIGHT)
def test_every_figure_answers_in_plain_finite_json(name: str) -> None:
    """The answer has the agreed keys, echoes its inputs, and is finite and ready for JSON."""
    given = {item.key: plausible(item) for item in find(name).inputs if item.needed} | OWN.get(name, {})
    answer = evaluate(name, given)
    assert {"name", "inputs", "unit", "method", "source"} <= set(answer)
    assert ("value" in answer) != ("values" in answer)
    assert answer["name"] == name
    assert set(given) <= set(answer["inputs"])
    json.dumps(answer, allow_nan=False)


def test_text_and_numbers_mean_the_same() -> None:
    """The command line's text and a caller's numbers give one answer."""
    numbers = {key: float(text) for key, text in SPRING.items()}
    assert evaluate("spring-valve", SPRING) == evaluate("spring-valve", numbers)


def test_named_extras_are_there() -> None:
    """The further keys that callers rely on."""
    assert {"dp_kpa", "lift_mm"} <= set(evaluate("spring-valve", SPRING))
    gap = {"gap_um": 127, "ro_mm": 20, "ri_mm": 12, "mu_pa_s": 0.05, "rho": 870, "flow_m3_s": 1e-6}
    assert {"viscous_pa", "inertia_pa"} <= set(evaluate("disc-gap", gap))
    assert {"volume", "flux"} <= set(evaluate("blocking", {"law": "cake", "j0": 1, "k": 1, "at_s": 1}))
    index = evaluate("viscosity-index", {"kv40": 73.3, "kv100": 8.86})
    assert (index["rounded"], round(index["value"], 3)) == (92, 92.430)


def test_a_stop_limits_the_lift() -> None:
    """With a stop given the valve of the figure stays on it."""
    assert evaluate("spring-valve", {**SPRING, "max_lift_mm": 0.1})["lift_mm"] == pytest.approx(0.1)


def test_far_cold_answers_are_marked() -> None:
    """A viscosity beyond the standard's range is still given but marked."""
    oil = {"kv40": 320, "kv100": 24}
    assert evaluate("kinematic-viscosity", {**oil, "at_c": -55})["beyond"] is True
    assert evaluate("kinematic-viscosity", {**oil, "at_c": 0})["beyond"] is False


WRONG = [
    ("viscosty-index", {}, "did you mean 'viscosity-index'"),
    ("zzz", {}, "no figure 'zzz'"),
    ("density", {"rho15": "870", "at_C": "40"}, "did you mean 'at_c'"),
    ("density", {"rho15": "870"}, "missing at_c"),
    ("density", {}, "missing rho15 and at_c"),
    ("density", {"rho15": "heavy", "at_c": "40"}, "rho15: expected a finite number"),
    ("density", {"rho15": "nan", "at_c": "40"}, "finite"),
    ("density", {"rho15": "870", "at_c": "inf"}, "finite"),
    ("density", {"rho15": "8_70", "at_c": "40"}, "finite"),
    ("density", {"rho15": True, "at_c": "40"}, "finite"),
    ("density", {"rho15": "", "at_c": "40"}, "finite"),
    ("density", {"rho15": "-870", "at_c": "40"}, "expected 400 to 2000"),
    ("density", {"rho15": "870", "at_c": "-300"}, "degC"),
    ("spring-valve", {**SPRING, "flow_lpm": "-1"}, "0 or more L/min"),
    ("spring-valve", {**SPRING, "rate_n_m": "0"}, "more than 0 N/m"),
    ("spring-valve", {**SPRING, "cd": "1.5"}, "more than 0 up to 1.2"),
    ("spring-valve", {**SPRING, "springs": "2"}, "no input 'springs'"),
    ("blocking", {"law": "caked", "j0": 1, "k": 1, "at_s": 1}, "did you mean 'cake'"),
    ("cleanliness-range", {"code": "7.5"}, "whole number"),
    ("viscosity-index", {"kv40": "10", "kv100": "1.5"}, "kv100: expected 2 to 2e+07 mm2/s"),
    ("kinematic-viscosity", {"kv40": "10", "kv100": "20", "at_c": "0"}, "kv100: expected less than kv40"),
    ("multipass", {"flow_lpm": 0, "volume_l": 1, "base_mg_l": 1, "beta": 2, "at_s": 1}, "flow_lpm"),
    ("beta-efficiency", {"beta": "0.5"}, "1 or more"),
    ("blocking-constant-rate", {"law": "complete", "kv": "2"}, "kv: expected less than 1 with law=complete"),
    ("ball-area", {"ball_mm": "5", "seat_mm": "8", "lift_mm": "1"}, "ball_mm"),
    ("annulus", {"ro_mm": 1, "ri_mm": 2, "dp_pa": 1, "mu_pa_s": 1, "length_mm": 1}, "ri_mm: expected less"),
    ("density", {"rho15": "0,89", "at_c": "4"}, "did you mean '0.89'?"),
    ("density", {"rho15": "890kg", "at_c": "4"}, "the number alone, in kg/m3, without its unit: '890'?"),
    ("density", {"rho15": "\u0668\u0669\u0660", "at_c": "4"}, "finite number"),
    ("density", {"rho15": "890", "at_c": "9" * 5000}, "..."),
    ("cake-fit", {"t_s": "1,2,x", "v_m3": "1,2,3"}, "t_s: expected a finite number s, got 'x'"),
    ("cake-fit", {"t_s": "1", "v_m3": "1,2"}, "t_s: expected 2 to 1000 numbers with commas between"),
    ("cake-fit", {"t_s": "1,2,3", "v_m3": "1,2"}, "v_m3: expected as many numbers as t_s, which has 3"),
    ("cake-fit", {"t_s": "1,2", "v_m3": "3,3"}, "two different volumes"),
    ("cake-fit", {"t_s": "1,2", "v_m3": "1,3", "area_m2": 1, "dp_pa": 1}, "missing solids_kg_m3 and mu_pa_s"),
    ("couette-torque", {"mu_pa_s": 1, "ri_mm": 1, "ro_mm": 2}, "one of rpm and rad_s"),
    (
        "hindered-settling",
        {"size_um": 1, "solid_rho": 2, "rho": 1, "mu_pa_s": 1},
        "one of solid_mass_fraction",
    ),
    ("as4059-class", {}, "missing all of n4"),
    ("nas-1638-limits", {"class": "13"}, "did you mean '12'?"),
    ("convert", {"value": 1, "old": "PSI", "new": "kPa"}, "did you mean 'psi'?"),
    ("constant-rate-drop", {"q": 1, "t1": 2, "dp1": 1, "t2": 2, "dp2": 3, "t": 4}, "another time than t1"),
    ("pipe", {"radius_mm": 1e300, "dp_pa": 1, "mu_pa_s": 1, "length_mm": 1}, "radius_mm=1e+300 is too large"),
    ("sphere-mass", {"size_um": 1e200, "solid_rho": 1}, "size_um=1e+200 is too large"),
    ("settling", {"size_um": 1e150, "solid_rho": 2, "rho": 1, "mu_pa_s": 1}, "size_um=1e+150 is too large"),
    (
        "thick-slit",
        {"width_mm": 1e-200, "thickness_mm": 1, "mu_pa_s": 1, "flow_m2_s": 1},
        "width_mm=1e-200 is too",
    ),
    (
        "kinematic-viscosity-through",
        {"t1_c": 9, "nu1": 4, "t2_c": 9, "nu2": 3, "at_c": 0},
        "t2_c: expected another",
    ),
    (
        "viscosity-constants-through",
        {"t1_c": 90, "nu1": 40, "t2_c": 9, "nu2": 3},
        "nu1: expected less than nu2",
    ),
    (
        "dynamic-viscosity-through",
        {"t1_c": 9, "mu1_pa_s": 1, "t2_c": 90, "mu2_pa_s": 2, "rho15": 900, "at_c": 0},
        "mu2_pa_s: expected less than mu1_pa_s",
    ),
    ("convert", {"value": 1, "old": "psi", "new": "mm"}, "new: expected a unit of pressure as old"),
    ("iso-grade-limits", {"grade": 33}, "grade: no ISO viscosity class 33 (the nearest is 32)"),
]


@pytest.mark.parametrize(("name", "given", "line"), WRONG)
def test_wrong_questions_get_one_clear_line(name: str, given: dict[str, object], line: str) -> None:
    """Bad name, key, value, range, NaN or missing key: one FigureError of one line, with the nearest word."""
    with pytest.raises(FigureError) as caught:
        evaluate(name, given)  # type: ignore[arg-type]
    assert line in str(caught.value)
    assert "\n" not in str(caught.value)


JUNK = st.one_of(
    st.floats(allow_nan=True, allow_infinity=True), st.integers(-(10**30), 10**30), st.text(max_size=8)
)


def allowed(item: Input) -> st.SearchStrategy[object]:
    """Anything within an input's range, from the tiniest to the hugest."""
    if item.choices:
        return st.sampled_from(item.choices)
    if item.many:
        return st.lists(st.floats(0, 1e300), max_size=5)
    low, high = max(item.low, -1e300), min(item.high, 1e300)
    return st.integers(int(low), int(min(high, 10**9))) if item.whole else st.floats(low, high)


@given(st.sampled_from(LIGHT), st.data())
def test_allowed_inputs_never_break_a_law(name: str, data: st.DataObject) -> None:
    """Inputs within range, however extreme, give a finite answer or one clear line."""
    inputs = {item.key: data.draw(allowed(item), label=item.key) for item in find(name).inputs}
    with contextlib.suppress(FigureError):
        json.dumps(evaluate(name, inputs), allow_nan=False)  # type: ignore[arg-type]


@given(st.sampled_from(LIGHT), st.data())
def test_nothing_but_an_answer_or_a_figure_error(name: str, data: st.DataObject) -> None:
    """Whatever the inputs, a figure answers with finite numbers or raises FigureError, nothing else."""
    inputs = {
        item.key: data.draw(st.sampled_from(item.choices) if item.choices else JUNK, label=item.key)
        for item in find(name).inputs
    }
    with contextlib.suppress(FigureError):
        json.dumps(evaluate(name, inputs), allow_nan=False)


def test_two_figures_may_not_share_a_name() -> None:
    """Registering a taken name is a fault of ours, noticed at once."""
    names()
    with pytest.raises(RuntimeError, match="two figures"):
        figure("density", unit="-", method="m", source="s")(lambda: 1.0)


def test_a_new_figure_is_callable_at_once() -> None:
    """The decorator is all a new module needs."""
    try:

        @figure(
            "shout",
            positive("n"),
            word("how", ("low", "loud"), default="low"),
            unit="-",
            method="m",
            source="s",
        )
        def _shout(n: float, how: str) -> str:
            return how * int(n)

        assert evaluate("shout", {"n": 2, "how": "loud"})["value"] == "loudloud"
        assert describe("shout") == "shout n=<number> [how=<low|loud>] -> -"
    finally:
        registry._FIGURES.pop("shout", None)
