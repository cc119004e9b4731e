"""Marks of an exam in the store of the computer on which it was sat."""

from __future__ import annotations

from glasscan.learning.exam.paper_marking import Outcome
from glasscan.learning.store.rows import StoredMarks
from glasscan.learning.store.store import Store


def keep_marks(store: Store, outcome: Outcome) -> bool:
    """Store the marks of a sitting; False where it was not sat here, or not with these answers.

    Raises:
        StoreProblem: the store cannot be written.
    """
    found = store.rows(
        "SELECT id FROM sittings WHERE uid = ? AND ended_utc IS NOT NULL", outcome.results.sitting
    )
    if not found:
        return False
    answers = {a.given.prompt: a for a in store.answers(store.sitting(found[0]["id"]))}
    marked = {item.prompt: item for item in outcome.results.items if item.given}
    if {name: a.given.given for name, a in answers.items()} != {n: i.given for n, i in marked.items()}:
        return False
    reasons = dict(outcome.told)
    for name, answer in answers.items():
        mark, result = marked[name].mark, reasons[name]
        codes = mark.codes if mark else ()
        one = StoredMarks(result.share, result.out_of, result.key, result.reason, result.slip, codes)
        store.mark(answer.id, one)
    return True
