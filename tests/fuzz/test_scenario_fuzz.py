"""Whatever stands in a file: a record, or clear lines; never another exception."""

from __future__ import annotations

import re
from typing import Any

import pytest
import yaml
from glasscan.content import BadInput, load_text
from glasscan.content.problems import MAX_LINES
from glasscan.learning.catalogue import scenario_names, scenario_path
from glasscan.learning.scenario_loading import all_checks
from glasscan.learning.scenario_schema import Scenario
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

TEXTS = [scenario_path(name).read_text(encoding="utf-8") for name in scenario_names()]
LINE = re.compile(r"(f\.yaml|--set)(:\d+:\d+)?: \S|\.\.\. and \d+ more problems")
CHECKS = all_checks("f")[1:]  # all but that a file is named as its scenario
EASY = settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])

MARKS = (
    r""": - &a *a !!x [ { ] } ' " | # % @ ? --- .nan 1e999 0x1 null true no é _ , <<: ~ "\x1b" "\ud800" """
)
SPICE = st.sampled_from(
    [*MARKS.split(), "- ", "&a ", "? ", "---\n", "\t", "\n", "\x00", "\u2028", "\ud800", "9" * 50]
)


def try_load(text: str, overrides: tuple[str, ...] = ()) -> Scenario | None:
    """Load a text; what is refused must be refused in clear lines."""
    try:
        return load_text(text, "f.yaml", Scenario, overrides=overrides, checks=CHECKS)
    except BadInput as bad:
        lines = bad.lines
    assert 1 <= len(lines) <= MAX_LINES + 1
    assert [line for line in lines if not LINE.match(line) or not line.isprintable() or len(line) > 800] == []
    return None


@pytest.mark.parametrize("text", TEXTS)
def test_shipped_files_load(text: str) -> None:
    """What is mutated below is good to begin with."""
    assert try_load(text) is not None


@EASY
@given(st.data())
def test_mutated_text(data: st.DataObject) -> None:
    """A shipped file with pieces cut, doubled and spiced is a record or clear lines."""
    text = data.draw(st.sampled_from(TEXTS))
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        to = min(len(text), at + data.draw(st.integers(0, 12)))
        text = text[:at] + data.draw(SPICE | st.just(text[at:to] * 2)) + text[to:]
    try_load(text)


@pytest.mark.parametrize("text", TEXTS)
def test_a_filter_that_is_not_there_has_its_line(text: str) -> None:
    """A misspelt filter is told at its place also where prompts speak of the filter's parts."""
    assert try_load(re.sub(r"^filter: .", "filter: xx", text, flags=re.M)) is None


@EASY
@given(st.data())
def test_mutated_values(data: st.DataObject) -> None:
    """A shipped file with one value replaced by any other is a record or clear lines."""
    tree = yaml.safe_load(data.draw(st.sampled_from(TEXTS)))
    here: Any = tree
    while True:
        key = data.draw(st.sampled_from(list(here) if isinstance(here, dict) else list(range(len(here)))))
        if not isinstance(here[key], (dict, list)) or not here[key] or data.draw(st.booleans()):
            break
        here = here[key]
    leaf = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8)
    here[key] = data.draw(
        st.recursive(leaf, lambda v: st.lists(v, max_size=3) | st.dictionaries(st.text(), v))
    )
    try_load(yaml.safe_dump(tree, allow_unicode=True))


@EASY
@given(st.text(max_size=200))
@example("a: " + "[" * 200)
@example("\ufeffa: 1")
@example("? ? ?\n")
def test_any_text(text: str) -> None:
    """Any text at all is a record or clear lines."""
    try_load(text)


@EASY
@given(st.lists(st.text(max_size=30) | st.from_regex(r"[a-z.]{1,20}=.{0,12}", fullmatch=True), max_size=3))
def test_any_overrides(overrides: list[str]) -> None:
    """Any `--set` words at all give a record or clear lines."""
    try_load(TEXTS[0], tuple(overrides))


@pytest.mark.parametrize(
    "text",
    [
        "a: " + "'" * 200_000,
        "a: " + "x " * 100_000,
        "a: |\n" + "  x\n" * 60_000,
        "? " * 100_000,
        "- " * 100_000,
        "a: " + "{a: " * 60_000,
        "\n" * 250_000,
        "#" * 250_000,
        "a: " + "x:" * 100_000,
        "\n".join(f"k{i}: 1" for i in range(20_000)),
        "a: &a [" + "*a," * 60_000 + "]",
        "%TAG ! tag:x,2000:\n" * 8_000 + "---\na: 1",
    ],
    ids=range(12),
)
def test_large_texts_end(text: str) -> None:
    """Texts of the largest size and the worst shapes are refused in clear lines."""
    assert len(text) <= 256_000
    assert try_load(text) is None
