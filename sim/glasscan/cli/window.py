"""`glasscan` and `glasscan open SCENARIO`: the window, or without a display the same run headless."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from glasscan.cli.arguments import Verbs, add_scenario, add_verb, scenario_of

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario

DEFAULT = "cold-start"


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    add_scenario(add_verb(verbs, "open", run, "open a scenario in the window"))
    add_verb(verbs, "tour", run_tour, "the cold start in a minute, by itself; any key takes over")


def run(args: argparse.Namespace) -> int:
    """Open the scenario named."""
    return open_scenario(scenario_of(args), args.scenario)


def run_tour(args: argparse.Namespace) -> int:
    """Play the tour."""
    del args
    return open_scenario(_first(), tour=True)


def _first() -> Scenario:
    """The first lesson."""
    from glasscan.learning.scenario_loading import load_scenario

    return load_scenario(DEFAULT)


def open_default() -> int:
    """Open the first screen; without a display, run the first lesson."""
    if has_display():
        from glasscan.window.app import NoDisplay, open_window

        try:
            return int(open_window(None, **makers()))
        except NoDisplay:
            pass
    return open_scenario(_first())


def open_scenario(scenario: Scenario, word: str = "", tour: bool = False) -> int:
    """Open the window, or run without one where there is no display."""
    if has_display():
        from glasscan.window.app import NoDisplay, open_window

        try:
            return int(open_window(scenario, word=_found_again(word), tour=tour, **makers()))
        except NoDisplay:
            pass
    folder = Path(f"glasscan-{scenario.scenario}")
    print(f"no display here: running {scenario.scenario} without a window, into {folder}/", file=sys.stderr)
    from glasscan.cli.run import run_and_tell

    return run_and_tell(scenario, None, folder, as_json=False)


def printers() -> Any:
    """Makers of a lesson's pages, which the window itself does not know."""
    from glasscan.reports.handout import handout_page, key_page

    return handout_page, key_page


def makers() -> dict[str, Any]:
    """All that the window is handed because it does not know it: pages of a lesson, figures of a class."""
    return {"printers": printers(), "class_maker": _class_maker()}


def _class_maker() -> Any:
    """Maker of the figures of a class."""
    from glasscan.cli.classwindow import class_view

    return class_view


def _found_again(word: str) -> str:
    """A file by its whole path, so that it can be opened again from another folder."""
    return str(Path(word).resolve()) if Path(word).is_file() else word


def has_display() -> bool:
    """Whether a window can open: Linux names its display in the environment, others have one."""
    if not sys.platform.startswith("linux"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
