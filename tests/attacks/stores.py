"""A store of a newer program, and one with damaged pages."""

from __future__ import annotations

import random
import sqlite3
from contextlib import closing
from pathlib import Path

from glasscan.learning.store.rows import StoredAnswer, StoredMarks
from glasscan.learning.store.store import Store

from tests.attacks.base import Attack, glasscan, paper

READING = (("results", "list"), ("results", "check"), ("study", "--list"))


def filled(path: Path, people: int = 3, answers: int = 60) -> None:
    """A store with people, finished sittings, answers and marks."""
    with Store(path) as store:
        for p in range(people):
            sitting = store.begin(store.person(f"Wen {p}"), "practice", "cold-start")
            for n in range(answers):
                answer = store.answer(sitting, StoredAnswer(f"q{n}", f"answer {n} of {p} " * 5))
                store.mark(answer, StoredMarks(1.0, 1.0, "k"))
            store.end(sitting)


class Newer(Attack):
    """Refused in one line, and left as it is byte by byte."""

    name, about, usual = "newer-store", "a store of a newer program", 4

    def once(self, number: int, folder: Path) -> str:
        """One verb."""
        filled(folder / "results.sqlite3", 1, 5)
        with closing(sqlite3.connect(folder / "results.sqlite3")) as db:
            db.execute("PRAGMA user_version = 99")
            db.execute("PRAGMA journal_mode = DELETE")
        before = (folder / "results.sqlite3").read_bytes()
        sit = ("exam", "sit", paper(), "--who", "Wen")
        words = (*READING, sit)[number % 4]
        done = glasscan(folder, *words, "--data-dir", folder, typed="\n5 kPa\n")
        if (folder / "results.sqlite3").read_bytes() != before:
            return f"{words[0]}: changed it"
        return done.harm((2,))


class Corrupt(Attack):
    """A page of noise: read on or refused in one line; what was changed is noticed; the rest is saved."""

    name, about, usual = "corrupt-store", "a page of the store overwritten with noise", 10

    def once(self, number: int, folder: Path) -> str:
        """One page, three verbs that read, and the rescue."""
        path, dice = folder / "results.sqlite3", random.Random(number)
        filled(path)
        raw = bytearray(path.read_bytes())
        page = int.from_bytes(raw[16:18], "big")
        hit = dice.randrange(1, len(raw) // page) * page
        raw[hit : hit + page] = dice.randbytes(page)
        path.write_bytes(raw)
        for words in READING:
            done = glasscan(folder, *words, "--data-dir", folder)
            if harm := done.harm():
                return f"{' '.join(words)}: {harm}"
            if words[1] == "check" and done.code == 0:
                return f"page {hit // page}: not noticed"
        saved = glasscan(
            folder, "results", "salvage", "--out", folder / "saved.sqlite3", "--data-dir", folder
        )
        return saved.harm()
