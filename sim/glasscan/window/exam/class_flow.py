"""The way "Class results": pick results files, mark them where needed, show and write figures."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from functools import cache, partial
from pathlib import Path
from typing import TYPE_CHECKING

from glasscan.content import BadInput
from glasscan.files import write_whole
from glasscan.learning.exam.marks_text import reasons
from glasscan.learning.exam.paper import Paper, is_sealed, read_sources
from glasscan.learning.exam.paper_marking import judge, keyed, twice
from glasscan.learning.identity import file_name
from glasscan.learning.seals.instructor_key import PrivateKey, open_key
from glasscan.learning.seals.seal_problems import SealProblem
from glasscan.learning.store.results_files import Loaded, is_box, load_results, marked_text
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.ui.page_widgets import Row
from glasscan.units import counted
from glasscan.window.exam.class_page import ClassPage
from glasscan.window.exam.paper_flow import data_folder, run_in_turn
from glasscan.window.exam.results_page import ResultRow, ResultsPage
from glasscan.window.lesson import takeaway
from glasscan.window.study import user_prefs
from glasscan.window.study.session_end_page import OverPage

if TYPE_CHECKING:
    from glasscan.ui.progress_task import ReportProgress
    from glasscan.window.navigator import Navigator

MARKED = "marked"
"""Folder of the marked files, beside those that were handed in."""


def class_results(front: Navigator) -> bool:
    """Class results until they are left; False where the window was closed."""
    remembered = user_prefs.load()
    folder = remembered.folder or str(takeaway.home_folder())
    paper, phrase = remembered.paper, ""
    while True:
        page = ResultsPage(front.desk, folder, paper, look)
        page.texts["phrase"] = phrase
        on = front.show(page)
        if not on or not page.wanted:
            return on
        folder, paper, phrase = page.texts["folder"], page.texts["paper"], page.texts["phrase"]
        user_prefs.change(folder=folder)
        act = _mark if page.wanted == "mark" else _figures
        try:
            folder, on = act(front, page)
        except (BadInput, StoreProblem, OSError) as trouble:
            on = front.show(OverPage(front.desk, "That did not work", " ".join(str(trouble).split()), []))
        if not on:
            return False


def look(folder: Path) -> list[ResultRow]:
    """Results files of a folder; what is none is left out."""
    found = []
    with contextlib.suppress(OSError):
        for path in sorted(folder.glob("*.json")):
            with contextlib.suppress(StoreProblem):
                found.append(_row(path))
    return found


def _row(path: Path) -> ResultRow:
    if is_box(path):
        return ResultRow(path, path.stem.removesuffix(".results"), "sealed", False)
    results = load_results(path, desk=data_folder()).results
    marked = bool(results.items) and all(item.mark is not None for item in results.items)
    return ResultRow(path, results.nickname, results.paper, marked)


def _key(phrase: str) -> PrivateKey:
    """The instructor's key.

    Raises:
        BadInput: there is none here, or this is another pass-phrase.
    """
    try:
        return open_key(data_folder(), phrase)
    except SealProblem as problem:
        raise BadInput([str(problem)]) from None


def _paper(page: ResultsPage) -> Paper | None:
    """The paper, where its file is there."""
    path = Path(page.texts["paper"]).expanduser()
    if not page.texts["paper"].strip() or not path.is_file():
        return None
    return read_sources(path, lambda: _key(page.texts["phrase"])).questions


def _figures(front: Navigator, page: ResultsPage) -> tuple[str, bool]:
    """Show the figures of the ticked files."""
    folder = page.texts["folder"]
    if front.class_maker is None:
        return folder, front.show(OverPage(front.desk, "Class results", "Not available here.", []))
    loaded = [(row.path, load_results(row.path, desk=data_folder())) for row in page.chosen]
    paper = _paper(page)
    if paper is not None and any(one.results.paper != paper.paper for _, one in loaded):
        paper = None
    view = front.class_maker(loaded, paper)
    out = Path(folder).expanduser() / file_name("class", view.paper, apart=view.paper)
    return folder, front.show(ClassPage(front.desk, view, out))


def _mark(front: Navigator, page: ResultsPage) -> tuple[str, bool]:
    """Mark the ticked files into a folder beside them; the folder to go on with."""
    done = front.behind_bar(
        "Marking",
        partial(mark_files, page.chosen, Path(page.texts["paper"]).expanduser(), page.texts["phrase"]),
    )
    if done is None:
        return page.texts["folder"], False
    rows, folder = done
    summary = f"{counted(len(rows), 'file')}. Marked files and reasons: {user_prefs.told(folder)}"
    return str(folder), front.show(OverPage(front.desk, "Marked", summary, rows))


def mark_files(
    chosen: Sequence[ResultRow], paper: Path, phrase: str, tell: ReportProgress
) -> tuple[list[Row], Path]:
    """Mark results files; one that is altered or of another paper gets a line instead of marks.

    Raises:
        BadInput: the paper is bad, or this is another pass-phrase.
        OSError: the folder cannot be written.
    """
    key = cache(lambda: _key(phrase))
    sealed, sources = is_sealed(paper), read_sources(paper, key)
    questions = keyed(sources, run_in_turn(len(sources.scenarios), tell))
    folder = chosen[0].path.parent / MARKED
    rows, judged = [], []
    for row in chosen:
        try:
            loaded: Loaded = load_results(row.path, key)
            if sealed and not loaded.sealed:
                raise StoreProblem("not sealed, as what is handed in of this paper must be")
            outcome = judge(loaded.results, sources, questions)
        except StoreProblem as problem:
            rows.append(Row(str(row.path), row.nickname, str(problem).rpartition(": ")[2], "not marked"))
            continue
        stem = f"{row.path.name.removesuffix('.json').removesuffix('.results')}-{outcome.results.sitting[:6]}"
        write_whole(folder / f"{stem}.marked.json", marked_text(outcome.results, data_folder()))
        write_whole(folder / f"{stem}.reasons.txt", reasons(outcome, questions))
        notes = "; ".join(note for note in (outcome.verdict.line, outcome.away) if note)
        judged.append(outcome.results)
        rows.append(
            Row(
                str(row.path),
                outcome.results.nickname,
                notes,
                "pass" if outcome.verdict.passed else "not yet",
            )
        )
    rows += [Row(line, line, "the last one counts in the class", "look") for line in twice(judged)]
    return rows, folder
