"""Delete a person wholly."""

from __future__ import annotations

from glasscan.learning.store.healing import forget
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem, in_one_line


def delete_person(store: Store, person: int) -> None:
    """Delete a person with every sitting, answer, mark and card, and the bytes of them in the files.

    Files that were exported before are not touched.

    Raises:
        StoreProblem: there is no such person, or another window is reading, so that old bytes remain.
    """
    with store.writing() as db:
        if db.execute("DELETE FROM people WHERE id = ?", (person,)).rowcount == 0:
            raise StoreProblem(f"{store.path}: there is no person {person}")
    wipe_traces(store)
    forget(store.path, person)


def wipe_traces(store: Store) -> None:
    """Write the log back into the main file and empty it; deleted rows were overwritten there."""
    with in_one_line(store.path):
        busy = store.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    if busy:
        raise StoreProblem(f"{store.path}: deleted; close the other windows to wipe the last traces too")
