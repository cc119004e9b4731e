"""Mark results files of a paper into a folder."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from glasscan.cli.files import store_folder, write_whole
from glasscan.cli.headless import run_together
from glasscan.learning.cases.case_file_kind import is_case_file
from glasscan.learning.exam.marks_text import reasons
from glasscan.learning.exam.paper import Sources, is_sealed, read_sources
from glasscan.learning.exam.paper_marking import Keyed, Outcome, judge, keyed, twice
from glasscan.learning.exam.store_marks import keep_marks
from glasscan.learning.store.connection import store_path
from glasscan.learning.store.results_files import Loaded, OpenKey, load_results, marked_text
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem


@dataclass(frozen=True)
class MarkingOrder:
    """What is to be marked, and where to."""

    paper: Path
    results: tuple[Path, ...]
    folder: Path
    data_dir: Path | None


@dataclass(frozen=True)
class MarkingDesk:
    """All that marking needs."""

    sources: Sources
    questions: dict[str, Keyed]
    home: Path
    folder: Path


def mark_all(order: MarkingOrder, key: OpenKey, as_json: bool) -> int:
    """Mark each file; 2 where one is bad, the others are marked all the same.

    Raises:
        BadInput: the paper is bad, or this is another pass-phrase.
    """
    if is_case_file(order.paper):
        return _mark_cases(order, key, as_json)
    sources = read_sources(order.paper, key)
    sealed = is_sealed(order.paper)
    read = [(path, one) for path in order.results if (one := _read(path, key, sealed))]
    questions = (
        keyed(sources, run_together(sources.scenarios)) if read else {}
    )  # the runs take their time: only where they are needed
    desk = MarkingDesk(sources, questions, store_folder(order.data_dir), order.folder)
    marked = [(path, outcome) for path, loaded in read if (outcome := _marked(path, loaded, desk))]
    _keep([outcome for _, outcome in marked], order.data_dir)
    return _told(order, sources.paper, marked, sealed, as_json)


def _mark_cases(order: MarkingOrder, key: OpenKey, as_json: bool) -> int:
    """Mark each file of an assessed case."""
    from glasscan.learning.cases.assessed_marking import judge_case  # late: the fault engine
    from glasscan.learning.cases.sealed_case import read_secret

    secret, home = read_secret(order.paper, key), store_folder(order.data_dir)
    marked = []
    for path in order.results:
        loaded = _read(path, key, True)
        try:
            outcome = judge_case(loaded.results, secret) if loaded else None
        except StoreProblem as problem:
            _refused(path, problem)
            continue
        if outcome is not None:
            reasons_of = (
                f"{outcome.results.nickname}: {outcome.verdict.line}\n\n{outcome.told[0][1].reason}\n"
            )
            _write_marks(path, outcome, order.folder, home, reasons_of)
            marked.append((path, outcome))
    return _told(order, secret.sheet.paper, marked, True, as_json)


def _told(
    order: MarkingOrder, paper: str, marked: Sequence[tuple[Path, Outcome]], sealed: bool, as_json: bool
) -> int:
    """Tell the outcomes; 2 where a file was bad."""
    double = twice([outcome.results for _, outcome in marked])
    for line in double:
        print(line, file=sys.stderr)
    if as_json:
        rows = [_row(p, o, sealed) for p, o in marked]
        print(json.dumps({"paper": paper, "results": rows, "twice": double}))
    else:
        for path, outcome in marked:
            digest = "sealed by its sitting" if sealed else "not sealed: the paper is a rehearsal"
            notes = "; ".join(note for note in (digest, outcome.away) if note)
            print(f"{path}: {outcome.results.nickname}: {outcome.verdict.line} ({notes})")
    return 0 if len(marked) == len(order.results) else 2


def _read(path: Path, key: OpenKey, sealed: bool) -> Loaded | None:
    """One results file, or a line that says why not."""
    try:
        loaded = load_results(path, key)
        if sealed and not loaded.sealed:
            raise StoreProblem(f"{path}: is not sealed, as what is handed in of this paper must be")
        return loaded
    except StoreProblem as problem:
        _refused(path, problem)
        return None


def _refused(path: Path, problem: StoreProblem) -> None:
    text = str(problem)
    print(text if text.startswith(str(path)) else f"{path}: {text}", file=sys.stderr)


def _marked(path: Path, loaded: Loaded, desk: MarkingDesk) -> Outcome | None:
    """Mark one file, or say why not."""
    try:
        outcome = judge(loaded.results, desk.sources, desk.questions)
    except StoreProblem as problem:
        _refused(path, problem)
        return None
    _write_marks(path, outcome, desk.folder, desk.home, reasons(outcome, desk.questions))
    return outcome


def _write_marks(path: Path, outcome: Outcome, folder: Path, home: Path, reasons_of: str) -> None:
    """The marked results and the reasons, beside each other."""
    stem = path.name.removesuffix(".json").removesuffix(".marked").removesuffix(".results")
    name = f"{stem}-{outcome.results.sitting[:6]}"
    write_whole(folder / f"{name}.marked.json", marked_text(outcome.results, home))
    write_whole(folder / f"{name}.reasons.txt", reasons_of)


def _keep(outcomes: Sequence[Outcome], data_dir: Path | None) -> None:
    """Marks of those who sat on this computer go into its store: they count for their weak codes."""
    path = store_path(data_dir)
    if path.is_file():
        with Store(path) as store:
            for outcome in outcomes:
                keep_marks(store, outcome)


def _row(path: Path, outcome: Outcome, checked: bool) -> dict[str, object]:
    found = outcome.verdict
    return {
        "file": str(path),
        "nickname": outcome.results.nickname,
        "marks": found.marks,
        "out_of": found.out_of,
        "share": found.share,
        "pass_share": found.pass_share,
        "gates": list(found.gates),
        "passed": found.passed,
        "begun_utc": outcome.results.begun_utc,
        "ended_utc": outcome.results.ended_utc,
        "broken_off": bool(outcome.away),
        "notes": outcome.away,
        "openings": [o.model_dump() for o in outcome.results.openings],
        "digest_checked": checked,
    }
