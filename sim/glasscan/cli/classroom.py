"""`glasscan class RESULTS... --out FOLDER`: the results of a class as a page and two tables."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import glasscan
from glasscan.cli.arguments import Verbs, add_verb
from glasscan.cli.exam import own_key, percent
from glasscan.cli.files import add_data_dir, add_force, not_over, store_folder, write_whole
from glasscan.cli.outputs import ready
from glasscan.cli.talk import one_line_for_problems
from glasscan.content import BadInput

if TYPE_CHECKING:
    from glasscan.learning.exam.paper import Paper
    from glasscan.learning.store.results_files import Loaded
    from glasscan.reports.classroom.gathering import ClassTable
    from glasscan.reports.classroom.report import ClassReport
    from glasscan.reports.html_pages import Paper as Sheet

CaseMarker = Callable[[Path], "Loaded"]
PAGE, ITEMS, PEOPLE = "class.html", "items.csv", "people.csv"


@dataclass(frozen=True)
class Batch:
    """Results files that were read, and how many were bad."""

    good: tuple[tuple[Path, Loaded], ...]
    bad: int


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "class", run, "the results of a class as a page to print and two tables")
    parser.add_argument(
        "results", type=Path, nargs="+", metavar="RESULTS", help="marked results files, or folders of them"
    )
    parser.add_argument("--out", type=Path, required=True, metavar="FOLDER", help="for page and tables")
    parser.add_argument(
        "--paper",
        type=Path,
        metavar="PAPER",
        help="the paper, for the use of wrong choices; or the case, to mark it",
    )
    parser.add_argument(
        "--check", action="store_true", help="refuse what this computer did not mark or open itself"
    )
    add_force(parser)
    add_data_dir(parser)
    parser.add_argument("--pass-mark", type=percent, metavar="PERCENT", help="else that of the paper, or 75")
    parser.add_argument("--sheet", choices=("A4", "Letter"), default="A4", help="size of the sheet")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(args: argparse.Namespace) -> int:
    """Gather, check, write; 2 where a file is bad, the others count all the same."""
    for name in (PAGE, ITEMS, PEOPLE):
        not_over(args.out / name, args.force)
    folder = ready(args.out)
    with one_line_for_problems():
        case = _case_marker(args.paper, args.data_dir)
        paper = None if case else _paper(args.paper, args.data_dir)
        files = files_of(args.results)
        if not files:
            raise BadInput([f"{args.results[0]}: no results files (*.json) in this folder"])
        batch = read_all(files, store_folder(args.data_dir), args.check, case)
        if not batch.good:
            raise BadInput(["class: none of the files can be used"])
        written = _write(batch, paper, folder, args)
    _tell(batch, written, args.json)
    return 2 if batch.bad else 0


def files_of(paths: Sequence[Path]) -> list[Path]:
    """Files, and the marked results of folders."""
    found = [sorted(path.glob("*.json")) if path.is_dir() else [path] for path in paths]
    return [path for group in found for path in group]


def read_all(paths: Sequence[Path], desk: Path, check: bool = False, case: CaseMarker | None = None) -> Batch:
    """Read every file; a bad one gives one line. Marks made elsewhere do not count.

    Args:
        paths: of the files.
        desk: data folder of this computer, which knows what it marked.
        check: refuse practice, which another computer marked.
        case: marks what is sealed, where it is of an assessed case.
    """
    from glasscan.learning.store.results_files import is_box, load_results
    from glasscan.learning.store.store_problems import StoreProblem

    good: list[tuple[Path, Loaded]] = []
    for path in paths:
        try:
            loaded = case(path) if case and is_box(path) else load_results(path, desk=desk)
            _is_marked(path, loaded, check)
        except StoreProblem as problem:
            print(problem, file=sys.stderr)
        else:
            good.append((path, loaded))
    return Batch(tuple(good), len(paths) - len(good))


def _is_marked(path: Path, loaded: Loaded, check: bool) -> None:
    from glasscan.learning.store.store_problems import StoreProblem

    if not loaded.results.items or any(item.mark is None for item in loaded.results.items):
        raise StoreProblem(f"{path}: is not marked on this computer: use `glasscan exam mark` first")
    if check and not loaded.checked:
        raise StoreProblem(f"{path}: was marked on another computer")


def _paper(path: Path | None, data_dir: Path | None) -> Paper | None:
    from glasscan.learning.exam.paper import read_sources

    return read_sources(path, own_key(data_dir)).questions if path else None


def _case_marker(path: Path | None, data_dir: Path | None) -> CaseMarker | None:
    """Opens and marks the sealed results of an assessed case; None where `path` is none."""
    from glasscan.learning.cases.case_file_kind import is_case_file

    if path is None or not is_case_file(path):
        return None
    from glasscan.learning.cases.assessed_marking import judge_case
    from glasscan.learning.cases.sealed_case import read_secret
    from glasscan.learning.store.results_files import load_results

    key = own_key(data_dir)
    secret = read_secret(path, key)

    def marked(results: Path) -> Loaded:
        loaded = load_results(results, key)
        return replace(loaded, results=judge_case(loaded.results, secret).results)

    return marked


def _write(batch: Batch, paper: Paper | None, folder: Path, args: argparse.Namespace) -> list[Path]:
    report = report_of(batch, paper, args.pass_mark)
    return [write_whole(folder / name, text) for name, text in class_files(report, batch, args.sheet).items()]


def report_of(batch: Batch, paper: Paper | None, pass_mark: float | None = None) -> ClassReport:
    """The figures of a class.

    Raises:
        BadInput: the results are of another paper.
        StoreProblem: they are of several papers.
    """
    from glasscan.learning.scoring.verdict import PASS_SHARE
    from glasscan.reports.classroom.gathering import gather
    from glasscan.reports.classroom.report import class_report

    table = gather(loaded.results for _, loaded in batch.good)
    choices = choice_texts(paper, table) if paper else {}
    table = with_choice_keys(table, choices)
    share = pass_mark or (paper.pass_share if paper else PASS_SHARE)
    report = class_report(table, {name: tuple(lines) for name, lines in choices.items()}, share)
    return replace(report, warnings=(*report.warnings, *course_lines(batch), *gate_lines(batch)))


def class_files(report: ClassReport, batch: Batch, sheet: Sheet = "A4") -> dict[str, str]:
    """The page to print and the two tables, by name of the file."""
    from glasscan.reports.classroom.printing import class_page, items_csv, people_csv

    page = class_page(report, made=_made(batch), paper=sheet)
    return {PAGE: page, ITEMS: "\ufeff" + items_csv(report), PEOPLE: "\ufeff" + people_csv(report)}


def choice_texts(paper: Paper, table: ClassTable) -> dict[str, dict[str, str]]:
    """Ids and texts of the choices of every question that has one right line."""
    if paper.paper != table.paper:
        raise BadInput([f"class: the results are of paper {table.paper}, not of {paper.paper}"])
    from glasscan.learning.question_type import type_of

    single = [q.asked for q in paper.questions if q.asked.choices and type_of(q.asked).one_line]
    return {asked.id: dict(asked.choices) for asked in single}


def with_choice_keys(table: ClassTable, choices: Mapping[str, Mapping[str, str]]) -> ClassTable:
    """The table with keys of choices as ids, which is how answers are given."""
    ids = {name: {text: key for key, text in lines.items()} for name, lines in choices.items()}
    keys = (ids.get(name, {}).get(key, key) for name, key in zip(table.prompts, table.keys, strict=True))
    return replace(table, keys=tuple(keys))


def course_lines(batch: Batch) -> list[str]:
    """One line for each person who handed in twice, and for breaks and changed records."""
    from glasscan.learning.exam.paper_marking import away, twice

    results = [loaded.results for _, loaded in batch.good]
    told = [f"{line}; the last one counts" for line in twice(results)]
    return told + [f"{one.nickname}: {note}" for one in results if (note := away(one))]


def gate_lines(batch: Batch) -> list[str]:
    """One line for each safety fault: it means 'not yet' whatever the score."""
    return [
        f"{loaded.results.nickname}, {item.prompt}: gate not met, so not yet, whatever the score: {gate}"
        for _, loaded in batch.good
        for item in loaded.results.items
        for gate in (item.mark.gates if item.mark else ())
    ]


def _made(batch: Batch) -> str:
    checked = [path.name for path, loaded in batch.good if loaded.checked]
    digests = f"marked on this computer: {', '.join(checked)}" if checked else "marked elsewhere"
    day = date.today().isoformat()
    return f"Made {day} with glasscan {glasscan.__version__} from {len(batch.good)} results files; {digests}."


def _tell(batch: Batch, written: Sequence[Path], as_json: bool) -> None:
    rows = [
        {"file": str(p), "nickname": loaded.results.nickname, "digest_checked": loaded.checked}
        for p, loaded in batch.good
    ]
    if as_json:
        print(json.dumps({"results": rows, "bad_files": batch.bad, "written": [str(p) for p in written]}))
        return
    for row in rows:
        checked = "marked here" if row["digest_checked"] else "practice, marked on the learner's computer"
        print(f"{row['file']}: {row['nickname']}: {checked}")
    print("\n".join(f"wrote {path}" for path in written))
