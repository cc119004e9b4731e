"""Write answers to a store as a program of its own: writing.py STORE NICKNAME ANSWERS [limit=N] [user=N].

With a limit the system refuses files of more bytes than that, as a full disk would; with a user number the
program gives up the rights of the superuser, whom a read-only folder would not stop.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

from glasscan.learning.store.rows import StoredAnswer
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem


def main(path: Path, nickname: str, answers: int) -> int:
    """Store answers and print the number of each; a problem is one line on stderr and exit code 2."""
    try:
        with Store(path) as store:
            sitting = store.begin(store.person(nickname), "practice", "cold-start")
            for n in range(answers):
                print(store.answer(sitting, StoredAnswer(f"p{n}", "x" * 200)), flush=True)
    except StoreProblem as problem:
        print(problem, file=sys.stderr)
        return 2
    return 0


if __name__ == "__main__":
    for word, number in (option.split("=") for option in sys.argv[4:]):
        if word == "limit":
            import resource

            resource.setrlimit(resource.RLIMIT_FSIZE, (int(number), int(number)))
        else:
            os.setuid(int(number))
    sys.exit(main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])))
