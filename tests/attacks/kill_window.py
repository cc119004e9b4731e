"""kill -9 while somebody answers in the window."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

from tests.attacks.base import LONGEST_S, Attack, paper, surroundings
from tests.attacks.sitting import missing

PROGRAM = """
import random, sys
import pygame
from pathlib import Path
from glasscan.learning.exam.exam_sitting import begin
from glasscan.learning.exam.paper import read_questions
from glasscan.learning.store.store import Store
from glasscan.ui.view_options import ViewOptions
from glasscan.window import app
from glasscan.window.exam.sit_page import SitPage

file, seed = Path(sys.argv[1]), int(sys.argv[2])
dice, paper = random.Random(seed), read_questions(file, str).paper
app.open_display("trial")
with Store(Path(sys.argv[3]) / "results.sqlite3") as store:
    exam = begin(store, store.person("Wen"), paper)
    page = SitPage(ViewOptions(), exam)
    told, drawn = dict(exam.answers), page.update

    def update(wall_s):
        keys = [(ord(c), c) for c in "0123456789 "] + [(pygame.K_TAB, ""), (pygame.K_RETURN, "\\r")]
        keys += [(pygame.K_PAGEDOWN, ""), (pygame.K_PAGEUP, "")]
        for code, text in dice.choices(keys, k=3):
            pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=code, unicode=text, mod=0))
        drawn(wall_s)
        page.leave = page.ending = False
        for name, given in exam.answers.items():
            if told.get(name) != given:
                told[name] = given
                print("kept:", given, flush=True)

    page.update = update
    print("begun", flush=True)
    app.run_loop(page)
"""


class KillWindow(Attack):
    """The sitting page in the window's own loop, keys at random, killed at a random moment."""

    name, about, usual = "kill-window", "kill -9 of a sitting in the window", 20

    def once(self, number: int, folder: Path) -> str:
        """Keys, a kill, and a look into the store with SQLite's own reader."""
        dice = random.Random(number)
        words = [sys.executable, "-c", PROGRAM, str(paper()), str(number), str(folder)]
        process = subprocess.Popen(
            words,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env=surroundings(folder),
            cwd=folder,
        )
        assert process.stdout is not None
        assert process.stderr is not None
        said = [process.stdout.readline() for _ in range(2 + dice.randrange(6))]  # two before any answer
        time.sleep(dice.uniform(0.0, 0.3))
        process.kill()
        said += process.stdout.readlines()
        told = process.stderr.read()
        process.wait(LONGEST_S)
        process.stdout.close()
        process.stderr.close()
        if process.returncode != -signal.SIGKILL or "Traceback" in told:
            return f"the page ended by itself: {told.strip()[-160:]!r}"
        if not said:
            return "it said nothing"
        kept = [
            line.partition("kept:")[2].strip() for line in said if line.startswith("kept:") and "\n" in line
        ]
        return missing(folder, kept)
