"""`glasscan run SCENARIO`: run without a window and tell what happened."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from glasscan.cli.arguments import Verbs, add_scenario, add_verb, duration, scenario_of, seed
from glasscan.cli.files import add_force, not_over
from glasscan.cli.headless import Progress, keyboard_stops, run_scenario
from glasscan.cli.outputs import OUT_FILES, event_row, ready, summary, write_all

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario
    from glasscan.number_style import NumberStyle
    from glasscan.rig.run_log import RunLog

STOPPED = 130


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "run", run, "run a scenario without a window")
    add_scenario(parser)
    parser.add_argument("--for", dest="for_s", type=duration, metavar="SECONDS", help="model time to run")
    parser.add_argument("--seed", type=seed, metavar="N", help="start of the random numbers")
    parser.add_argument("--out", type=Path, metavar="DIR", help="write trace.csv, trace.png and section.png")
    words = "of trace.csv; without it that of config.toml in the data folder"
    parser.add_argument("--units", choices=("si", "us", "bar"), help=f"units {words}")
    parser.add_argument("--decimal", choices=("point", "comma"), help=f"decimal sign {words}")
    add_force(parser)
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(args: argparse.Namespace) -> int:
    """Run, write, tell."""
    scenario = scenario_of(args)
    from glasscan.number_style import number_style

    if args.seed is not None:
        scenario = scenario.model_copy(update={"seed": args.seed})
    for name in OUT_FILES if args.out else ():
        not_over(args.out / name, args.force)
    style = number_style(args.units, args.decimal) if args.out else None
    return run_and_tell(scenario, args.for_s, args.out, args.json, style)


def run_and_tell(
    scenario: Scenario, for_s: float | None, out: Path | None, as_json: bool, style: NumberStyle | None = None
) -> int:
    """Run a scenario; files are written before anything is printed, so that a closed pipe loses nothing.

    Raises:
        BadInput: `out` cannot be written.
    """
    folder = ready(out) if out else None
    progress = Progress(scenario.scenario)
    with keyboard_stops(progress):
        log = run_scenario(scenario, for_s, progress)
    files = write_all(log, scenario, folder, style) if folder else []
    for path in files:
        print(f"wrote {path}", file=sys.stderr)
    told = json.dumps(summary(log, scenario), allow_nan=False) if as_json else in_words(log, scenario)
    print(told)
    return STOPPED if progress.asked_to_stop else int(log.ended == "failed")


def in_words(log: RunLog, scenario: Scenario) -> str:
    """The run in a few lines for people."""
    rows = [event_row(e) for e in log.events]
    events = [
        f"{r['t_s']:10.2f} s  {r['event']:<16} dp {r['dp_kpa']:7.1f} kPa  oil {r['oil_c']:6.1f} °C"
        for r in rows
    ]
    litres = summary(log, scenario)["unfiltered_l"]
    ending = f"{log.ended} at {log.final.t_s:.1f} s: {log.why}"
    return "\n".join([scenario.title, *events, f"unfiltered oil: {litres:.2f} L", ending])
