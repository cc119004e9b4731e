"""`glasscan exam make | sit | mark`: papers, sittings and marks."""

from __future__ import annotations

import argparse
import json
import math
import re
import sys
from pathlib import Path

from glasscan.cli.arguments import Parser, Verbs, add_verb, seed
from glasscan.cli.files import add_data_dir, file_stem, write_whole
from glasscan.cli.outputs import ready
from glasscan.cli.talk import PASSPHRASE, one_line_for_problems, passphrase, talk

LONGEST_MIN = 1440
"""Longest exam, minutes: one day."""


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser: Parser = verbs.add_parser(
        "exam", help="make, sit and mark exam papers", allow_abbrev=False, epilog=f"Pass-phrase: {PASSPHRASE}"
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
    parser.add_argument("--seed", type=seed, required=True, metavar="N", help="of the variant")
    parser.add_argument("--minutes", type=minutes, required=True, metavar="M", help="time limit")
    parser.add_argument("--out", type=Path, required=True, metavar="PAPER", help="file to write")
    parser.add_argument(
        "--name", type=paper_name, metavar="NAME", help="of the paper; variants of one exam share it"
    )
    parser.add_argument("--pass-mark", type=percent, metavar="PERCENT", help="pass mark (75)")
    parser.add_argument("--seal", action="store_true", help="encrypt it with a pass-phrase")
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

    ready(args.out.parent)
    secret = passphrase(twice=True) if args.seal else None
    share = args.pass_mark or PASS_SHARE
    name = args.name or file_stem(args.out.stem)
    with one_line_for_problems():
        _seal_works(secret)
        order = Order(name, tuple(args.scenarios), args.seed, args.minutes, share)
        made = make(order, run_to_end)
        write_whole(args.out, paper_text(made.paper, made.sources, secret))
    paper = made.paper
    for note in made.notes:
        print(note, file=sys.stderr)
    told = {"paper": paper.paper, "seed": paper.seed, "questions": len(paper.questions), "marks": paper.marks}
    if args.json:
        print(json.dumps({**told, "minutes": args.minutes, "sealed": args.seal, "file": str(args.out)}))
    else:
        sealed = ", sealed" if args.seal else ", not sealed"
        print(f"{args.out}: {len(paper.questions)} questions, {paper.marks:g} marks{sealed}")
    return 0


def run_sit(args: argparse.Namespace) -> int:
    """Sit a paper."""
    from glasscan.cli.exam_sitting import sit
    from glasscan.learning.exam.paper import read_questions

    opened = read_questions(args.paper, passphrase)
    out = args.out or Path(f"{opened.paper.paper}-{opened.paper.seed}-{file_stem(args.who)}.results.json")
    with one_line_for_problems():
        return sit(opened, args.who, args.data_dir, ready(out.parent) / out.name, talk(args.json), args.json)


def run_mark(args: argparse.Namespace) -> int:
    """Mark results files."""
    from glasscan.cli.exam_marking import mark_all
    from glasscan.learning.exam.paper import is_sealed

    secret = passphrase() if is_sealed(args.paper) else None
    with one_line_for_problems():
        return mark_all(args.paper, secret, args.results, ready(args.out), args.data_dir, args.json)


def _seal_works(secret: str | None) -> None:
    """Refuse a bad pass-phrase before the runs, which take a while."""
    from glasscan.learning.sealing import seal

    if secret is not None:
        seal(b"", secret)
