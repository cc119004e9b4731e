"""`glasscan case make` and `glasscan case --paper FILE`: an assessed case, sealed to its instructor."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from glasscan.cli.arguments import Parser
from glasscan.cli.exam import instructor_of, minutes, paper_name
from glasscan.cli.files import add_force, file_stem, not_over, write_whole
from glasscan.cli.outputs import ready
from glasscan.cli.talk import InputEnded, Talk, one_line_for_problems, start_word, talk
from glasscan.content import BadInput

if TYPE_CHECKING:
    from glasscan.learning.cases.assessed_play import CaseSitting
    from glasscan.learning.cases.sealed_case import OpenCase
    from glasscan.learning.store.rows import Sitting
    from glasscan.learning.store.store import Store

MINUTES = 90.0
"""Time limit of an assessed case where nobody says one, min (PRACTICE)."""
STOPPED = 130
LINES = (
    "think F06 F12 | start | stop | release | test WORD | menu | faults | notes | action TEXT | log TEXT",
    "verdict F06 ends it. Ctrl-C stops; the same command goes on where you were.",
)


def add_arguments(parser: Parser) -> None:
    """Name the arguments of an assessed case."""
    parser.add_argument(
        "deed", nargs="?", choices=("make",), metavar="make", help="make an assessed case, sealed to your key"
    )
    parser.add_argument("--paper", type=Path, metavar="FILE", help="play an assessed case, in text")
    parser.add_argument("--out", type=Path, metavar="FILE", help="case to make, or results to hand in")
    parser.add_argument("--name", type=paper_name, metavar="NAME", help="of the case to make")
    parser.add_argument("--minutes", type=minutes, metavar="M", help="time limit of the case to make (90)")
    add_force(parser)


def make(args: argparse.Namespace) -> int:
    """Make an assessed case."""
    from glasscan.learning.cases.sealed_case import case_text, make_case
    from glasscan.learning.seals.start_word import new_start_word

    if args.out is None:
        raise BadInput(["case make: expected --out FILE"])
    if args.level == 1:
        raise BadInput(["case make: expected --level 2 or 3: level 1 gives help and is for practice"])
    if args.seed is not None:
        print("--seed is not used: a secret draws an assessed case", file=sys.stderr)
    not_over(args.out, args.force)
    ready(args.out.parent)
    name, limit = args.name or file_stem(args.out.stem), args.minutes or MINUTES
    with one_line_for_problems():
        instructor, word = instructor_of(None), new_start_word()
        case = make_case(name, args.filter, args.level, limit, lambda text: print(text, file=sys.stderr))
        write_whole(args.out, case_text(case, instructor, word))
    told = {"case": name, "filter": args.filter, "level": args.level, "minutes": limit}
    if args.json:
        print(json.dumps({**told, "sealed": True, "file": str(args.out), "start_word": word}))
    else:
        print(f"{args.out}: a hidden fault, {args.filter} filter, level {args.level}, sealed")
        print(f"start word: {word}   (tell it to the class when the time begins; it is written nowhere)")
    return 0


def play(args: argparse.Namespace) -> int:
    """Play an assessed case, or go on with it, and write the results file."""
    from glasscan.learning.cases.sealed_case import read_sheet
    from glasscan.learning.identity import file_name, identity

    for word in ("deed", "seed", "filter", "level", "solve", "resume"):
        if getattr(args, word):
            raise BadInput([f"case --paper: the file says which case it is: expected no {_spelt(word)}"])
    if not args.who:
        raise BadInput(["case --paper: expected --who NICK"])
    opened = read_sheet(args.paper, start_word)
    own = file_name(opened.sheet.paper, args.who, apart=f"{opened.sheet.digest} {identity(args.who)}")
    out = args.out or Path(f"{own}.results.json")
    with one_line_for_problems():
        return _sat(opened, args.who, ready(out.parent) / out.name, talk(args.json), args.json)


def _spelt(word: str) -> str:
    return "make" if word == "deed" else f"--{word}"


def _sat(opened: OpenCase, who: str, out: Path, speaker: Talk, as_json: bool) -> int:
    from glasscan.cli.exam_sitting import may_be_written
    from glasscan.learning.cases.assessed_play import CaseSitting, as_paper
    from glasscan.learning.exam.exam_sitting import handed_in
    from glasscan.learning.store.connection import store_path
    from glasscan.learning.store.results_files import handed_in_text
    from glasscan.learning.store.store import Store

    sheet = opened.sheet
    with Store(store_path()) as store:
        person = store.person(who)
        may_be_written(out, store, person, as_paper(sheet))
        done = handed_in(store, person, as_paper(sheet)) or _held(CaseSitting(store, sheet, person), speaker)
        if done is None:
            speaker.say("", "stopped: every line that was answered is kept; the same command goes on")
            return STOPPED
        write_whole(out, handed_in_text(store, done, opened.instructor, sheet.record_key))
        _tell(store, done, out, speaker, as_json)
    return 0


def _held(exam: CaseSitting, speaker: Talk) -> Sitting | None:
    """The conversation; None where it was stopped before the verdict."""
    from glasscan.cli.exam_sitting import clock_text
    from glasscan.learning.cases.text_table import tests_text, told_of
    from glasscan.learning.exam.exam_sitting import TimeIsUp

    case = exam.table.case
    speaker.say(*told_of(case, f"Assessed case {exam.paper.paper}"), "", *tests_text(case), *LINES)
    speaker.say(f"{clock_text(exam.left_s)} left; {len(exam.answers)} lines kept so far")

    def meanwhile() -> None:
        exam.tick()
        if exam.left_s <= 0.0:
            raise TimeIsUp

    try:
        while not case.ended:
            since = exam.clock()
            line = speaker.ask("> ", meanwhile)
            if line == "quit":
                raise InputEnded
            speaker.say(*exam.say(line, exam.clock() - since))
    except TimeIsUp:
        speaker.say("", "The time is up.")
    except (InputEnded, KeyboardInterrupt):
        exam.leave()
        return None
    return exam.hand_in()


def _tell(store: Store, done: Sitting, out: Path, speaker: Talk, as_json: bool) -> None:
    lines = len(store.answers(done))
    if as_json:
        print(json.dumps({"case": done.paper, "handed_in": True, "lines": lines, "results": str(out)}))
    else:
        speaker.say(f"handed in: give the file {out} to your instructor; only your instructor's key opens it")
