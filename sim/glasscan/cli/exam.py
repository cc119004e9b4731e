"""`glasscan exam make | sit | mark`: papers, sittings and marks."""

from __future__ import annotations

import argparse
import json
import math
import re
import sys
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from glasscan.cli.arguments import Parser, Verbs, add_verb, seed
from glasscan.cli.files import add_data_dir, add_force, file_stem, not_over, store_folder, write_whole
from glasscan.cli.outputs import ready
from glasscan.cli.talk import PASSPHRASE, one_line_for_problems, passphrase, start_word, talk
from glasscan.content import BadInput

if TYPE_CHECKING:
    from glasscan.learning.exam.paper import Paper
    from glasscan.learning.seals.instructor_key import PrivateKey, PublicKey
    from glasscan.learning.store.results_files import OpenKey

EPILOG = (
    "A sealed paper has two secrets: the start word opens its questions, the instructor's pass-phrase its "
    f"keys and what is handed in. The pass-phrase is typed; {PASSPHRASE} may hold it, seen by other programs."
)
LONGEST_MIN = 1440
"""Longest exam, minutes: one day."""


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser: Parser = verbs.add_parser(
        "exam", help="make, sit and mark exam papers", allow_abbrev=False, epilog=EPILOG
    )
    actions = parser.add_subparsers(metavar="ACTION", required=True, parser_class=Parser)
    _add_make(add_verb(actions, "make", run_make, "make a paper from scenarios and a seed"))
    _add_sit(add_verb(actions, "sit", run_sit, "sit a paper against the clock, in text"))
    _add_mark(add_verb(actions, "mark", run_mark, "mark results of a paper"))


def minutes(text: str) -> float:
    """A time limit above zero, minutes."""
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = math.nan
    if not 0 < value <= LONGEST_MIN:
        raise argparse.ArgumentTypeError(
            f"expected minutes above 0, up to {LONGEST_MIN}, found '{text[:40]}'"
        )
    return value


def percent(text: str) -> float:
    """A pass mark in percent, as a share."""
    found = re.fullmatch(r"([0-9]{1,3})%?", text)
    if not found or not 1 <= int(found[1]) <= 100:
        raise argparse.ArgumentTypeError(f"expected percent from 1 to 100, found '{text[:40]}'")
    return int(found[1]) / 100


def paper_name(text: str) -> str:
    """Name of a paper: small letters, digits and hyphens."""
    if text != file_stem(text):
        near = file_stem(text)
        raise argparse.ArgumentTypeError(
            f"expected small letters, digits and '-', found '{text[:40]}' (did you mean '{near}'?)"
        )
    return text


def _add_make(parser: Parser) -> None:
    parser.add_argument(
        "--from",
        dest="scenarios",
        nargs="+",
        required=True,
        metavar="SCENARIO",
        help="files, or ids of shipped scenarios",
    )
    parser.add_argument(
        "--seed", type=seed, metavar="N", help="of the variant of a rehearsal; a sealed paper needs none"
    )
    parser.add_argument("--minutes", type=minutes, required=True, metavar="M", help="time limit")
    parser.add_argument("--out", type=Path, required=True, metavar="PAPER", help="file to write")
    parser.add_argument(
        "--name", type=paper_name, metavar="NAME", help="of the paper; variants of one exam share it"
    )
    parser.add_argument("--pass-mark", type=percent, metavar="PERCENT", help="pass mark (75)")
    parser.add_argument("--seal", action="store_true", help="a start word opens it, your key alone marks it")
    parser.add_argument(
        "--clock",
        choices=("runs-on", "stands"),
        default="runs-on",
        help="while the paper is not open (runs-on)",
    )
    add_force(parser)
    add_data_dir(parser)
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def _add_sit(parser: Parser) -> None:
    parser.add_argument("paper", type=Path, metavar="PAPER", help="file of the paper")
    parser.add_argument("--who", required=True, metavar="NICK", help="nickname")
    parser.add_argument("--out", type=Path, metavar="RESULTS", help="results file to hand in")
    add_data_dir(parser)
    parser.add_argument("--json", action="store_true", help="print one JSON object at the end")


def _add_mark(parser: Parser) -> None:
    parser.add_argument("paper", type=Path, metavar="PAPER", help="file of the paper")
    parser.add_argument("results", type=Path, nargs="+", metavar="RESULTS", help="results files")
    parser.add_argument(
        "--out", type=Path, required=True, metavar="FOLDER", help="for the marked results and the reasons"
    )
    add_data_dir(parser)
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run_make(args: argparse.Namespace) -> int:
    """Make a paper."""
    from glasscan.cli.headless import run_to_end
    from glasscan.learning.exam.paper import paper_text
    from glasscan.learning.exam.paper_making import Order, make
    from glasscan.learning.scoring.verdict import PASS_SHARE
    from glasscan.learning.seals.start_word import new_start_word

    not_over(args.out, args.force)
    ready(args.out.parent)
    seed_number = _seed_of(args)
    name = args.name or file_stem(args.out.stem)
    with one_line_for_problems():
        instructor, word = (instructor_of(args.data_dir), new_start_word()) if args.seal else (None, "")
        share = args.pass_mark or PASS_SHARE
        order = Order(name, tuple(args.scenarios), seed_number, args.minutes, share, args.clock)
        made = make(order, run_to_end)
        write_whole(args.out, paper_text(made.sources, instructor, word))
    for note in made.notes:
        print(note, file=sys.stderr)
    _tell_made(args, made.paper, word)
    return 0


def _seed_of(args: argparse.Namespace) -> int | None:
    """The seed of a rehearsal; a sealed paper is drawn by a secret that nobody knows."""
    if args.seal:
        if args.seed is not None:
            print("--seed is not used: a secret draws the variant of a sealed paper", file=sys.stderr)
        return None
    if args.seed is None:
        raise BadInput(["exam make: expected --seed N (a rehearsal), or --seal (an assessed paper)"])
    number: int = args.seed
    return number


def instructor_of(data_dir: Path | None) -> PublicKey:
    """The public key of this data folder; made on first use."""
    from glasscan.learning.seals.instructor_key import has_key, make_key, own_public_key

    folder = store_folder(data_dir)
    if not has_key(folder):
        print(
            "There is no instructor's key here yet: its pass-phrase opens all your papers.", file=sys.stderr
        )
        make_key(folder, passphrase(twice=True))
        print(
            f"made {folder / 'instructor-key.json'}: keep a copy where only you can reach it", file=sys.stderr
        )
    return own_public_key(folder)


def _tell_made(args: argparse.Namespace, paper: Paper, word: str) -> None:
    told = {"paper": paper.paper, "seed": paper.seed, "questions": len(paper.questions), "marks": paper.marks}
    if args.json:
        more = {
            "minutes": args.minutes,
            "sealed": args.seal,
            "file": str(args.out),
            "start_word": word or None,
        }
        print(json.dumps({**told, **more}))
        return
    sealed = ", sealed" if args.seal else ", not sealed"
    print(f"{args.out}: {len(paper.questions)} questions, {paper.marks:g} marks{sealed}")
    if word:
        print(f"start word: {word}   (tell it to the class when the time begins; it is written nowhere)")


def run_sit(args: argparse.Namespace) -> int:
    """Sit a paper."""
    from glasscan.cli.exam_sitting import sit
    from glasscan.learning.exam.paper import read_questions
    from glasscan.learning.identity import file_name, identity

    opened = read_questions(args.paper, start_word)
    own = file_name(opened.paper.paper, args.who, apart=f"{opened.paper.digest} {identity(args.who)}")
    out = args.out or Path(f"{own}.results.json")
    with one_line_for_problems():
        return sit(opened, args.who, args.data_dir, ready(out.parent) / out.name, talk(args.json), args.json)


def run_mark(args: argparse.Namespace) -> int:
    """Mark results files."""
    from glasscan.cli.exam_marking import MarkingOrder, mark_all

    with one_line_for_problems():
        order = MarkingOrder(args.paper, tuple(args.results), ready(args.out), args.data_dir)
        return mark_all(order, own_key(args.data_dir), args.json)


def own_key(data_dir: Path | None) -> OpenKey:
    """Opens the instructor's key of a data folder; asks for the pass-phrase once, when it is first needed."""
    from glasscan.learning.seals.instructor_key import open_key, own_public_key

    @cache
    def opened() -> PrivateKey:
        own_public_key(store_folder(data_dir))  # a missing key is told before the pass-phrase is asked for
        return open_key(store_folder(data_dir), passphrase())

    return opened
