"""A unit slip is judged from what was typed: a property over the units and tolerances of all numeric prompts.

Outside fact: none but arithmetic; the factors of the units are checked against scipy.constants elsewhere.
"""

from __future__ import annotations

from glasscan.content.unit_words import BY_SUFFIX, UnitWord, unit_of_word
from glasscan.learning import prompt_schema as ask
from glasscan.learning.catalogue import scenario_names
from glasscan.learning.marking import Band, Truth, number_result
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.typed_numbers import Typed
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.learning.playing import form_of


def asked_for() -> list[tuple[UnitWord, Band]]:
    """Unit and tolerance of every numeric prompt of every shipped lesson."""
    forms = [form_of(p) for name in scenario_names() for p in load_scenario(name).prompts]
    numbers = [f for f in forms if isinstance(f, ask.Numeric | ask.NumberForm)]
    found = {(unit_of_word(f.unit), Band(f.tol_abs, f.tol_rel)) for f in numbers}
    return [(unit, band) for unit, band in found if unit is not None]


ASKED = sorted(asked_for(), key=repr)
KEYS = st.one_of(st.just(0.0), st.floats(-1e6, 1e6), st.floats(-1.0, 1.0))
ANSWERS = st.one_of(st.floats(-1e7, 1e7), st.floats(-10.0, 10.0))


@settings(deadline=None, max_examples=400)
@given(st.sampled_from(ASKED), KEYS, ANSWERS)
def test_with_the_unit_asked_for_there_is_no_unit_slip(
    asked: tuple[UnitWord, Band], key: float, x: float
) -> None:
    """Typed with its unit, an answer outside twice the band earns nothing but for a turned sign."""
    unit, band = asked
    result = number_result(Typed(x, unit), Truth(key, unit, band, {}), 1.0)
    if band.share(x, key) == 0.0:
        assert result.share == 0.0 or (result.slip == "sign" and band.share(-x, key) == 1.0 and key != 0.0)


@settings(deadline=None, max_examples=400)
@given(st.sampled_from(ASKED), ANSWERS)
def test_at_nought_no_small_number_is_half_right(asked: tuple[UnitWord, Band], x: float) -> None:
    """At a key of 0 an answer outside twice the band earns nothing, with or without a unit."""
    unit, band = asked
    if band.share(x, 0.0) == 0.0:
        assert number_result(Typed(x, None), Truth(0.0, unit, band, {}), 1.0).share == 0.0


@settings(deadline=None, max_examples=400)
@given(st.sampled_from(ASKED), KEYS, ANSWERS)
def test_a_bare_number_is_a_unit_slip_only_where_it_converts_to_the_key(
    asked: tuple[UnitWord, Band], key: float, x: float
) -> None:
    """Half marks for a bare number: it lies in the full band after a change of unit, and nought does not."""
    unit, band = asked
    result = number_result(Typed(x, None), Truth(key, unit, band, {}), 1.0)
    if result.slip == "unit":
        others = [u for u in BY_SUFFIX.values() if u.kind == unit.kind and u != unit]
        assert any(band.share(u.to(unit, x), key) == 1.0 for u in others)
        assert band.share(0.0, key) < 1.0


@settings(deadline=None, max_examples=400)
@given(st.sampled_from(ASKED), KEYS, st.floats(-2.0, 2.0), st.sampled_from(sorted(BY_SUFFIX)))
def test_a_wrong_unit_typed_earns_half_only_for_the_number_asked_for(
    asked: tuple[UnitWord, Band], key: float, off: float, suffix: str
) -> None:
    """100 psi where 100 kPa are right is a slip; any other number with a wrong unit is not."""
    unit, band = asked
    other, x = BY_SUFFIX[suffix], key + off * band.width(key)
    if other.kind != unit.kind or other == unit:
        return
    result = number_result(Typed(x, other), Truth(key, unit, band, {}), 1.0)
    if result.slip == "unit":
        assert band.share(x, key) == 1.0
        assert result.share == 0.5
