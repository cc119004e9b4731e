"""From a path or an id to a checked scenario."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from glasscan.content import Check, load
from glasscan.learning.catalogue import scenario_path
from glasscan.learning.manual import cited_lines_exist
from glasscan.learning.scenario_checks import (
    can_hang_so,
    codes_known,
    faults_act,
    notes_fit,
    parts_exist,
    prompts_fit,
    same_name,
    scraper_there,
    timeline_fits,
    vary_fits,
)
from glasscan.learning.scenario_schema import Scenario


def load_scenario(word: str, overrides: Sequence[str] = ()) -> Scenario:
    """Read and check a scenario.

    Args:
        word: path of a file, or id of a shipped scenario.
        overrides: `dotted.key=value` texts laid over the file first.

    Raises:
        BadInput: with one line for each problem.
    """
    return read_scenario(scenario_path(word), overrides)


def read_scenario(path: Path, overrides: Sequence[str] = ()) -> Scenario:
    """The scenario of a file; see `load_scenario`."""
    return load(path, Scenario, overrides=overrides, checks=all_checks(path.stem))


def all_checks(stem: str) -> tuple[Check[Scenario], ...]:
    """Every check over a whole scenario whose file has this stem."""
    return (
        same_name(stem),
        parts_exist,
        scraper_there,
        can_hang_so,
        faults_act,
        codes_known,
        cited_lines_exist,
        timeline_fits,
        vary_fits,
        prompts_fit,
        notes_fit,
    )
