"""`--set` changes a file before it is checked, and its mistakes are told in the same words."""

from __future__ import annotations

import pytest
from glasscan.content import BadInput, load_text
from glasscan.learning.scenario_schema import Scenario, SetRpm

from tests.world import SCENARIO


def with_set(*overrides: str) -> Scenario:
    """The good scenario with overrides laid over it."""
    return load_text(SCENARIO, "f.yaml", Scenario, overrides=overrides)


def test_values_are_read_as_in_the_file() -> None:
    """Numbers, words, nothing, list places and groups that the file leaves out can all be set."""
    record = with_set(
        "air_c=-18",
        "plant.regulator=before",
        "timeline.0.to=1200",
        "start.oil_c=80",
        "seed = 7",
        "prompts=[]",
    )
    assert (record.air_c, record.plant.regulator, record.seed) == (-18.0, "before", 7)
    assert isinstance(record.timeline[0], SetRpm)
    assert (record.timeline[0].to, record.start.oil_c, record.prompts) == (1200.0, 80.0, ())


def test_the_last_one_wins() -> None:
    """A key set twice takes the later value."""
    assert with_set("air_c=1", "air_c=2").air_c == 2.0


@pytest.mark.parametrize(
    ("override", "expected"),
    [
        (
            "air_f=3",
            "--set:1:1: air_f: unknown key: expected the value in °C, not in °F (did you mean 'air_c'?)",
        ),
        (
            "regulator=before",
            "--set:1:1: regulator: unknown key here: it belongs at plant.regulator "
            "(did you mean 'plant.regulator'?)",
        ),
        (
            "plant.regulator=befor",
            "--set:1:17: plant.regulator: expected 'before' or 'after', found text 'befor' "
            "(did you mean 'before'?)",
        ),
        (
            "timeline.0.to=1e9",
            "--set:1:15: timeline.0.to: expected a number from 0 to 6000, found 1000000000.0",
        ),
        (
            "timeline.3.to=1",
            "--set:1:1: timeline.3: expected a place in the list from 0 to 0, found text '3'",
        ),
        ("air_c", "--set:1:1: expected dotted.key=value, found text 'air_c'"),
        ("=3", "--set:1:1: expected dotted.key=value, found text '=3'"),
        ("scenario.x=3", "--set:1:1: scenario.x: scenario holds text 'morning', it has no keys inside"),
        ("air_c=", "--set:1:7: air_c: expected a number from -54 to 150 (°C), found nothing"),
        (
            "air_c=no",
            "--set:1:7: 'no' alone reads as true or false in some readers: "
            "write true or false, or quote it as text",
        ),
        ("air_c=[1", "--set:1:7: not valid YAML: expected ',' or ']', but got '<stream end>'"),
        ("air_c=!!int 3", "--set:1:7: tags (!name) are not allowed: write the plain value"),
    ],
)
def test_mistakes_name_the_override(override: str, expected: str) -> None:
    """A mistake in an override names `--set`, its number and the column in it."""
    with pytest.raises(BadInput) as caught:
        with_set(override)
    assert caught.value.lines == (expected,)


def test_a_mistake_in_the_second_override_is_numbered() -> None:
    """The line number of a message is the number of the override."""
    with pytest.raises(BadInput) as caught:
        with_set("air_c=3", "plant.rgi=x")
    assert caught.value.lines == ("--set:2:1: plant.rgi: unknown key (did you mean 'rig'?)",)
