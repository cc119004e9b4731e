"""`glasscan list [KIND]` and `glasscan words [KIND]`: what there is to open, and what may stand in a file."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Mapping

from glasscan import signals
from glasscan.cli.arguments import Verbs, add_verb
from glasscan.content import BadInput, nearest

Rows = Mapping[str, str]


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    listed = add_verb(
        verbs, "list", run_list, "list lessons, jobs, oils, filters, rigs, faults, manual, files"
    )
    spoken = add_verb(verbs, "words", run_words, "list the words that a lesson file may use")
    for parser, kinds in ((listed, LISTS), (spoken, WORDS)):
        parser.add_argument("kind", metavar="KIND", nargs="?", help=", ".join(kinds))
        parser.add_argument("--json", action="store_true", help="print one JSON object")


def run_list(args: argparse.Namespace) -> int:
    """Print what there is."""
    return _told("list", LISTS, args)


def run_words(args: argparse.Namespace) -> int:
    """Print the words."""
    return _told("words", WORDS, args)


def _told(verb: str, kinds: Mapping[str, Callable[[], Rows]], args: argparse.Namespace) -> int:
    if args.kind is not None and args.kind not in kinds:
        near = nearest(args.kind, list(kinds))
        meant = f" (did you mean {near!r}?)" if near else ""
        raise BadInput(
            [f"glasscan {verb}: expected one of {', '.join(kinds)}, found '{args.kind[:40]}'{meant}"]
        )
    found = {word: dict(rows()) for word, rows in kinds.items() if args.kind in (None, word)}
    if args.json:
        print(json.dumps(found, ensure_ascii=False))
        return 0
    for word, rows in found.items():
        print(f"{word}:")
        wide = max((len(key) for key in rows), default=0)
        print("\n".join(f"  {key.ljust(wide)}  {text}".rstrip() for key, text in rows.items()) or "  none")
    return 0


def _lessons() -> Rows:
    from glasscan.learning.catalogue import own_lessons, scenario_titles

    return {**scenario_titles(), **dict.fromkeys(own_lessons(), "your own lesson")}


def _titled(kind: str) -> Rows:
    from glasscan.learning.catalogue import data_path, names

    rows = {}
    for name in names(kind):  # type: ignore[arg-type]
        text = data_path(kind, name).read_text(encoding="utf-8")  # type: ignore[arg-type]
        line = next((row for row in text.splitlines() if row.startswith("title:")), "")
        rows[name] = line.removeprefix("title:").strip().strip("\"'")
    return rows


def _jobs() -> Rows:
    from glasscan.workshop.procedures.procedure_catalogue import load_procedure, procedure_names

    return {name: load_procedure(name).title for name in procedure_names()}


def _faults() -> Rows:
    from glasscan.faults.fault_data import faults

    return {code: fault.title for code, fault in faults().items()}


def _kinds() -> Rows:
    from glasscan.content_registry import KINDS

    return {kind.word: f"{kind.meaning} ({kind.where})" for kind in KINDS}


def _columns() -> Rows:
    from glasscan.learning.vocabulary import columns

    return {name: _meaning(name) for name in columns()}


def _meaning(name: str) -> str:
    signal = signals.signal_of(name)
    return signal.meaning if signal else ""


def _codes() -> Rows:
    from glasscan.learning.syllabus import load_syllabus

    return {code.id: code.title for code in load_syllabus().codes}


def _manual() -> Rows:
    from glasscan.learning.manual import manual_lines

    return {name: line.told() for name, line in manual_lines().items()}


LISTS: dict[str, Callable[[], Rows]] = {
    "lessons": _lessons,
    "jobs": _jobs,
    "fluids": lambda: _titled("fluids"),
    "filters": lambda: _titled("filters"),
    "plants": lambda: _titled("plants"),
    "faults": _faults,
    "manual": _manual,
    "files": _kinds,
}
WORDS: dict[str, Callable[[], Rows]] = {
    "fluid": lambda: _titled("fluids"),
    "filter": lambda: _titled("filters"),
    "rig": lambda: _titled("plants"),
    "event": lambda: {event.key: event.label for event in signals.EVENTS},
    "trace": _columns,
    "fault": _faults,
    "code": _codes,
}
