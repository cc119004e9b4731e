"""A data folder that cannot be written, and one that goes away under a sitting."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from tests.attacks.base import Attack, glasscan, paper
from tests.attacks.sitting import TextSitting

BOUND = ("setpriv", "--bounding-set", "-dac_override,-dac_read_search")  # the superuser without his right
VERBS = (
    "study --list",
    "results list",
    "results check",
    "exam sit",
    "run cold-start --for 1 --out traces",
    "where",
)


class ReadOnly(Attack):
    """Nothing may be written: each verb ends with one line, or does what needs no writing."""

    name, about, usual = "read-only", "data folder and working folder without the right to write", len(VERBS)

    def once(self, number: int, folder: Path) -> str:
        """One verb."""
        words = VERBS[number % len(VERBS)].split()
        if words[:2] == ["exam", "sit"]:
            words += [str(paper()), "--who", "Wen"]
        (folder / "data").mkdir()
        folder.chmod(0o555)
        (folder / "data").chmod(0o555)
        through = BOUND if os.geteuid() == 0 else ()
        done = glasscan(folder, *words, typed="\n5 kPa\n", through=through)
        folder.chmod(0o755)
        if "kept:" in done.out:
            return f"{words[0]}: an answer is called kept"
        return done.harm()


class Vanished(Attack):
    """The data folder is deleted or moved after an answer: the next is not called kept."""

    name, about, usual = "vanished-folder", "data folder deleted or moved under a sitting", 6

    def once(self, number: int, folder: Path) -> str:
        """Two answers, the folder goes, two more."""
        sitting = TextSitting(folder)
        sitting.answer(2)
        if not sitting.wait_for(2):
            return f"no sitting: {sitting.end()[1][-160:]!r}"
        elsewhere = folder / "elsewhere"
        if number % 2:
            sitting.home.rename(elsewhere)
        else:
            shutil.rmtree(sitting.home)
        sitting.answer(2)
        code, told = sitting.end()
        if len(sitting.kept) > 2:
            return f"called kept, and nowhere: {sitting.kept[2:]}"
        if "Traceback" in told or code not in (2, 130):
            return f"exit code {code}: {told[-160:]!r}"
        return sitting.missing(elsewhere) if number % 2 else ""
