"""`glasscan results backup | check | salvage`: care of the store of results."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from glasscan.cli.arguments import Verbs, add_verb
from glasscan.cli.files import add_data_dir
from glasscan.cli.talk import one_line_for_problems
from glasscan.content import BadInput


def add(actions: Verbs) -> None:
    """Name the arguments of the three actions."""
    backup = add_verb(actions, "backup", run_backup, "a whole copy of the store, also while it is in use")
    backup.add_argument("--out", type=Path, required=True, metavar="FILE", help="file to write")
    check = add_verb(actions, "check", run_check, "whether every finished sitting is as it was handed in")
    salvage = add_verb(actions, "salvage", run_salvage, "what can be read of a damaged store, into a new one")
    salvage.add_argument("--out", type=Path, required=True, metavar="FILE", help="new store to write")
    for parser in (backup, check, salvage):
        add_data_dir(parser)
        parser.add_argument("--json", action="store_true", help="print one JSON object")


def _path(data_dir: Path | None) -> Path:
    from glasscan.learning.store.connection import store_path

    path = store_path(data_dir)
    if not path.is_file():
        raise BadInput([f"{path}: no such file: nothing is kept there"])
    return path


def run_backup(args: argparse.Namespace) -> int:
    """Copy the store."""
    from glasscan.learning.store.healing import back_up
    from glasscan.learning.store.store import Store
    from glasscan.learning.store.store_problems import in_one_line

    if args.out.exists():
        raise BadInput([f"{args.out}: exists already; name a new file"])
    with one_line_for_problems(), Store(_path(args.data_dir)) as store, in_one_line(args.out):
        args.out.parent.mkdir(parents=True, exist_ok=True)
        back_up(store.connection, args.out)
    print(json.dumps({"file": str(args.out)}) if args.json else f"wrote {args.out}")
    return 0


def run_check(args: argparse.Namespace) -> int:
    """Work the digests out again; 2 where a sitting has changed."""
    from glasscan.learning.store.healing import damaged_sittings
    from glasscan.learning.store.store import Store

    with one_line_for_problems(), Store(_path(args.data_dir)) as store:
        damaged = damaged_sittings(store.connection)
    if args.json:
        print(json.dumps({"fine": not damaged, "changed_sittings": damaged}))
    elif not damaged:
        print("every finished sitting is as it was")
    if damaged:
        numbers = ", ".join(map(str, damaged))
        line = f"{store.path}: changed since they were handed in: sittings {numbers}"
        raise BadInput([f"{line}; the copies in its folder 'copies' are older"])
    return 0


def run_salvage(args: argparse.Namespace) -> int:
    """Read what can be read."""
    from glasscan.learning.store.healing import salvage

    with one_line_for_problems():
        taken = salvage(_path(args.data_dir), args.out)
    told = ", ".join(f"{n} {table}" for table, n in taken.items())
    print(json.dumps({"file": str(args.out), "rows": taken}) if args.json else f"wrote {args.out}: {told}")
    return 0
