"""`glasscan plan LESSON` and `glasscan guide`: pages for whoever teaches."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from glasscan.cli.arguments import Verbs, add_scenario, add_verb, scenario_of
from glasscan.cli.files import write_whole
from glasscan.cli.outputs import ready
from glasscan.content import BadInput


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    plan = add_verb(verbs, "plan", run_plan, "write the plan of a lesson, for whoever gives it")
    add_scenario(plan)
    guide = add_verb(verbs, "guide", run_guide, "write the one page to hand to an instructor")
    for parser in (plan, guide):
        parser.add_argument("--out", type=Path, metavar="FILE.html", help="page to write")
        parser.add_argument("--paper", choices=("A4", "Letter"), default="A4", help="size of the sheet")
        parser.add_argument("--force", action="store_true", help="replace a file that is there")


def run_plan(args: argparse.Namespace) -> int:
    """Write the plan."""
    from glasscan.reports.lesson_plan import lesson_plan

    scenario = scenario_of(args)
    return _written(args, f"plan-{scenario.scenario}.html", lesson_plan(scenario, args.paper))


def run_guide(args: argparse.Namespace) -> int:
    """Write the guide."""
    from glasscan.reports.guide import guide_page
    from glasscan.window.lesson.lesson_keys import printed_sheet

    return _written(args, "glasscan-guide.html", guide_page(printed_sheet(), args.paper))


def _written(args: argparse.Namespace, name: str, text: str) -> int:
    path = args.out or Path(name)
    if path.exists() and not args.force:
        raise BadInput([f"{path}: exists already; --force replaces it"])
    ready(path.parent)
    write_whole(path, text)
    print(f"wrote {path}", file=sys.stderr)
    return 0
