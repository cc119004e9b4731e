"""Mark results files of a paper into a folder."""

from __future__ import annotations

import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from glasscan.cli.files import write_whole
from glasscan.cli.headless import run_to_end
from glasscan.learning.exam.marks_text import reasons
from glasscan.learning.exam.paper import Sources, read_questions, read_sources
from glasscan.learning.exam.paper_marking import Keyed, Outcome, judge, keyed
from glasscan.learning.exam.store_marks import keep_marks
from glasscan.learning.sealing import ResultsKey
from glasscan.learning.store.connection import store_path
from glasscan.learning.store.results_files import Loaded, file_text, load_results
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem


@dataclass(frozen=True)
class MarkingDesk:
    """All that marking needs."""

    sources: Sources
    questions: dict[str, Keyed]
    key: ResultsKey | None
    folder: Path


def mark_all(
    paper: Path,
    secret: str | None,
    results: Sequence[Path],
    folder: Path,
    data_dir: Path | None,
    as_json: bool,
) -> int:
    """Mark each file; 2 where one is bad, the others are marked all the same.

    Raises:
        BadInput: the paper is bad, or this is another pass-phrase.
    """
    key = read_questions(paper, lambda: secret or "").key
    sources = read_sources(paper, lambda: secret or "")
    read = [(path, loaded) for path in results if (loaded := _read(path, secret))]
    questions = (
        keyed(sources, run_to_end) if read else {}
    )  # the runs take their time: only where they are needed
    desk = MarkingDesk(sources, questions, key, folder)
    marked = [(path, outcome) for path, loaded in read if (outcome := _marked(path, loaded, desk))]
    _keep([outcome for _, outcome in marked], data_dir)
    checked = secret is not None
    if as_json:
        print(json.dumps({"paper": sources.paper, "results": [_row(p, o, checked) for p, o in marked]}))
    else:
        for path, outcome in marked:
            digest = "digest checked" if checked else "no digest: the paper is not sealed"
            notes = "; ".join(note for note in (digest, outcome.away) if note)
            print(f"{path}: {outcome.results.nickname}: {outcome.verdict.line} ({notes})")
    return 0 if len(marked) == len(results) else 2


def _read(path: Path, secret: str | None) -> Loaded | None:
    """One results file, or a line that says why not."""
    try:
        return load_results(path, secret)
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
    stem = desk.folder / path.name.removesuffix(".json").removesuffix(".marked").removesuffix(".results")
    name = f"{stem.name}-{outcome.results.sitting[:6]}"
    write_whole(desk.folder / f"{name}.marked.json", file_text(outcome.results, desk.key))
    write_whole(desk.folder / f"{name}.reasons.txt", reasons(outcome, desk.questions))
    return outcome


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
        "digest_checked": checked,
    }
