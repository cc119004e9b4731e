"""`glasscan results list | show | export | hand-in | delete`: what is kept of people on this computer."""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any

from glasscan.cli import results_care
from glasscan.cli.arguments import Parser, Verbs, add_verb
from glasscan.cli.files import add_data_dir
from glasscan.cli.talk import InputEnded, one_line_for_problems, talk
from glasscan.content import BadInput, nearest

if TYPE_CHECKING:
    from glasscan.learning.store.store import Store

COUNTS = """SELECT p.nickname, count(DISTINCT s.id) AS sittings, count(a.id) AS answers,
    count(DISTINCT CASE WHEN s.paper LIKE 'case-%' THEN s.id END) AS cases FROM people p
    LEFT JOIN sittings s ON s.person = p.id LEFT JOIN answers a ON a.sitting = s.id
    GROUP BY p.id ORDER BY p.id"""


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser: Parser = verbs.add_parser("results", help="list, export or delete people", allow_abbrev=False)
    actions = parser.add_subparsers(metavar="ACTION", required=True, parser_class=Parser)
    _common(add_verb(actions, "list", run_list, "who is in the store"))
    show = add_verb(actions, "show", run_show, "sittings and cases of one person, with score and time")
    show.add_argument("--who", required=True, metavar="NICK", help="nickname")
    _common(show)
    hand = add_verb(actions, "hand-in", run_hand_in, "a results file of each case, for the class report")
    hand.add_argument("--who", required=True, metavar="NICK", help="nickname")
    hand.add_argument("--out", type=Path, required=True, metavar="FOLDER", help="where the files go")
    _common(hand)
    export = add_verb(actions, "export", run_export, "every answer and mark as a CSV table")
    export.add_argument("--who", metavar="NICK", help="of one person only")
    export.add_argument("--out", type=Path, required=True, metavar="FILE.csv", help="file to write")
    _common(export)
    delete = add_verb(actions, "delete", run_delete, "delete a person with everything kept of them")
    delete.add_argument("--who", required=True, metavar="NICK", help="nickname")
    delete.add_argument("--yes", action="store_true", help="do not ask again")
    _common(delete)
    results_care.add(actions)


def _common(parser: Parser) -> None:
    add_data_dir(parser)
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run_list(args: argparse.Namespace) -> int:
    """Say who is in the store."""
    with one_line_for_problems(), _store(args.data_dir) as store:
        rows = [dict(row) for row in store.rows(COUNTS)]
    if args.json:
        print(json.dumps({"people": rows}))
    else:
        print("\n".join(_counted(row) for row in rows))
    return 0


def _counted(row: dict[str, Any]) -> str:
    cases = f" ({row['cases']} of them hidden faults)" if row["cases"] else ""
    return f"{row['nickname']}: {row['sittings']} sittings{cases}, {row['answers']} answers"


def run_show(args: argparse.Namespace) -> int:
    """Tell each sitting of a person, the newest last."""
    from glasscan.learning.store.history_report import told_of

    with one_line_for_problems(), _store(args.data_dir) as store:
        told = told_of(store, _person(store, args.who))
    if args.json:
        rows = [{**asdict(one), "share": one.share} for one in told]
        print(json.dumps({"nickname": args.who, "sittings": rows}, allow_nan=False))
    else:
        print("\n".join(one.line for one in told) or "nothing yet")
    return 0


def run_hand_in(args: argparse.Namespace) -> int:
    """Write results files of the cases of a person; of one case done twice, the last."""
    from glasscan.cli.files import write_whole
    from glasscan.cli.outputs import ready
    from glasscan.learning.identity import file_name
    from glasscan.learning.store.history_report import cases_of
    from glasscan.learning.store.results_files import handed_in_text

    folder = ready(args.out)
    with one_line_for_problems(), _store(args.data_dir) as store:
        found = cases_of(store, _person(store, args.who))
        last = {sitting.paper: sitting for sitting in found}.values()
        texts = {file_name(args.who, one.paper, apart=one.uid): handed_in_text(store, one) for one in last}
    if not texts:
        raise BadInput([f"results hand-in: {args.who} has no hidden fault in the results yet"])
    files = [write_whole(folder / f"{stem}.results.json", text) for stem, text in texts.items()]
    print(
        json.dumps({"files": [str(path) for path in files]})
        if args.json
        else "\n".join(f"wrote {path}" for path in files)
    )
    return 0


def run_export(args: argparse.Namespace) -> int:
    """Write a table."""
    from glasscan.learning.store.csv_export import answers_csv, write_csv

    with one_line_for_problems(), _store(args.data_dir) as store:
        text = answers_csv(store, _person(store, args.who) if args.who else None)
        write_csv(text, args.out)
    print(json.dumps({"file": str(args.out)}) if args.json else f"wrote {args.out}")
    return 0


def run_delete(args: argparse.Namespace) -> int:
    """Delete a person."""
    from glasscan.learning.store.erasing import delete_person

    with one_line_for_problems(), _store(args.data_dir) as store:
        person = _person(store, args.who)
        if not args.yes:
            _confirm(args.who, args.json)
        delete_person(store, person)
    print(json.dumps({"deleted": args.who}) if args.json else f"deleted {args.who}")
    return 0


def _store(data_dir: Path | None) -> Store:
    from glasscan.learning.store.connection import store_path
    from glasscan.learning.store.store import Store

    path = store_path(data_dir)
    if not path.is_file():
        raise BadInput([f"{path}: no such file: nothing is kept there"])
    return Store(path)


def _person(store: Store, nickname: str) -> int:
    from glasscan.learning.study.study_plan import person_of

    found = person_of(store, nickname)
    if found is None:
        near = nearest(nickname, store.people().values())
        meant = f" (did you mean {near!r}?)" if near else ""
        raise BadInput([f"{store.path}: knows nobody called '{nickname[:40]}'{meant}"])
    return found


def _confirm(nickname: str, as_json: bool) -> None:
    if not sys.stdin.isatty():
        raise BadInput(["results delete: expected --yes, or an answer on a terminal"])
    try:
        line = talk(as_json).ask(f"Delete {nickname} with every answer and mark? Type yes: ")
    except InputEnded:
        line = ""
    if line.casefold() != "yes":
        raise BadInput(["results delete: not confirmed, nothing was deleted"])
