"""`glasscan case`: a hidden fault, tests that cost minutes, a verdict."""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from glasscan.cli.arguments import Verbs, add_verb, seed
from glasscan.cli.assessed_case import add_arguments, make, play
from glasscan.cli.window import has_display, makers
from glasscan.content import BadInput

if TYPE_CHECKING:
    from glasscan.learning.cases.case_play import Case

KINDS = ("can", "cartridge", "disc")
USUAL = {"filter": "can", "level": 2}


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "case", run, "find a hidden fault by tests that cost minutes")
    add_arguments(parser)
    parser.add_argument("--seed", type=seed, metavar="N", help="which case, for practice (1)")
    parser.add_argument("--filter", choices=KINDS, help="kind of filter (can)")
    parser.add_argument("--level", type=int, choices=(1, 2, 3), help="1 helps, 3 reads worse (2)")
    parser.add_argument("--solve", action="store_true", help="play the reference path to its verdict")
    parser.add_argument("--resume", type=Path, metavar="FILE", help="go on with a saved case")
    parser.add_argument("--text", action="store_true", help="as text at the terminal, not in the window")
    parser.add_argument("--who", metavar="NICK", help="whose results the case is entered in")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(args: argparse.Namespace) -> int:
    """Solve, open the window, or lay the case on the table."""
    if args.paper:
        return play(args)
    for name, usual in USUAL.items():
        setattr(args, name, usual if getattr(args, name) is None else getattr(args, name))
    if args.deed == "make":
        return make(args)
    args.seed = 1 if args.seed is None else args.seed
    if args.solve and args.resume:
        raise BadInput(["--solve plays the case of a seed: expected no --resume beside it"])
    if args.solve:
        _solve(args)
    elif not _windowed(args):
        _table(args)
    return 0


def _windowed(args: argparse.Namespace) -> bool:
    """Play it in the window; False where text was asked for, or where no window can open."""
    if args.text or args.json or not has_display():
        return False
    from glasscan.window.app import NoDisplay
    from glasscan.window.cases.open_case import open_case
    from glasscan.window.cases.start_page import Chosen

    try:
        if args.who:
            _remember(args.who)
        open_case(Chosen(args.seed, args.filter, args.level, args.resume), **makers())
    except NoDisplay:
        return False
    return True


def _remember(nickname: str) -> None:
    """The nickname under which the window enters the case."""
    from glasscan.cli.talk import one_line_for_problems
    from glasscan.learning.store.connection import store_path
    from glasscan.learning.store.store import Store
    from glasscan.window.study import user_prefs

    with one_line_for_problems(), Store(store_path()) as store:
        name = store.people()[store.person(nickname)]
    user_prefs.change(nickname=name)


def _say(text: str) -> None:
    print(text, file=sys.stderr)


def _solve(args: argparse.Namespace) -> None:
    from glasscan.learning.cases.generate import generate
    from glasscan.learning.cases.reference import reference_path

    hidden = generate(args.seed, args.filter, _say, args.level)
    path = reference_path(hidden, args.level)
    told = {
        "seed": args.seed,
        "filter": args.filter,
        "fault": hidden.code,
        "verdict": path.verdict,
        "correct": path.verdict == hidden.code,
        "decidable": True,  # the generator has refused every other draw
        "cost_min": path.cost_min,
        "reference_cost_min": path.cost_min,
        "beliefs": path.beliefs,
    }
    if args.json:
        print(json.dumps(told, allow_nan=False))
        return
    from glasscan.learning.cases.text_table import path_text

    print("\n".join(path_text(f"Reference, {path.cost_min:g} min", path.steps)))
    print(f"verdict {path.verdict or 'cannot tell yet'}; the fault was {hidden.code}")


def _table(args: argparse.Namespace) -> None:
    from glasscan.learning.cases.case_files import read
    from glasscan.learning.cases.case_play import Case
    from glasscan.learning.cases.text_table import HELP, Table, opening

    case = read(args.resume) if args.resume else Case.begin(args.seed, args.filter, args.level, _say)
    if args.json:
        print(json.dumps(_as_json(case), allow_nan=False))
        return
    print("\n".join(opening(case)))
    if not sys.stdin.isatty():
        return
    print("\n".join(HELP))
    table, begun = Table(case), time.monotonic()
    while not (table.left or case.ended):
        try:
            line = input("> ")
        except EOFError:
            return
        case.spent_s, begun = case.spent_s + time.monotonic() - begun, time.monotonic()
        print("\n".join(table.say(line)))
    if args.who and case.ended:
        print(_entered(case, args.who))


def _entered(case: Case, nickname: str) -> str:
    """Enter a case that is over in somebody's results; what to say of it."""
    from glasscan.cli.talk import one_line_for_problems
    from glasscan.learning.cases.enter_result import enter
    from glasscan.learning.cases.scoring import review
    from glasscan.learning.store.connection import store_path
    from glasscan.learning.store.store import Store

    with one_line_for_problems(), Store(store_path()) as store:
        new = enter(store, nickname, case, review(case))
    return f"Entered in the results of {nickname}." if new else "This case stands in the results already."


def _as_json(case: Case) -> dict[str, Any]:
    """Complaint, baseline and menu; nothing of the fault."""
    from glasscan.learning.cases.test_menu import menu

    noted = dict(zip((reading.what for reading in menu().complaint), case.noted, strict=True))
    return {
        "seed": case.seed,
        "filter": case.kind,
        "level": case.level,
        "regulator": case.layout,
        "complaint": case.complaint,
        "noted": noted,
        "healthy": {what: case.baseline[what] for what in noted},
        "suspects": list(case.suspects),
        "tests": [
            t.model_dump(include={"test", "title", "cost_min", "risk", "needs"}) for t in case.menu.values()
        ],
    }
