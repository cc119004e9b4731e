"""From a path or an id to a checked scenario."""

from __future__ import annotations

from collections.abc import Sequence

from sim.lessons.catalogue import scenario_path
from sim.lessons.checks import parts_exist, prompts_fit, same_name, scraper_there, timeline_fits
from sim.lessons.schema import Scenario
from sim.loading import load


def load_scenario(word: str, overrides: Sequence[str] = ()) -> Scenario:
    """Read and check a scenario.

    Args:
        word: path of a file, or id of a shipped scenario.
        overrides: `dotted.key=value` texts laid over the file first.

    Raises:
        BadInput: with one line for each problem.
    """
    path = scenario_path(word)
    checks = (same_name(path.stem), parts_exist, scraper_there, timeline_fits, prompts_fit)
    return load(path, Scenario, overrides=overrides, checks=checks)
