"""The computer's clock set back or on while somebody sits a paper."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from pathlib import Path

from glasscan.learning.exam.exam_sitting import begin
from glasscan.learning.exam.paper import read_questions
from glasscan.learning.store.store import Store

from tests.attacks.base import Attack, paper
from tests.attacks.sitting import NUMERIC, missing


class Clock(Attack):
    """Between two answers the clock jumps by up to ten years: no time is won, none lost, all is kept."""

    name, about, usual = "clock", "clock set back or on between two answers", 20

    def once(self, number: int, folder: Path) -> str:
        """Five answers, five jumps."""
        dice = random.Random(number)
        now = [datetime(2031, 3, 1, 9, tzinfo=UTC)]
        exam_paper = read_questions(paper(), str).paper
        question = next(q for q in exam_paper.questions if q.asked.id == NUMERIC)
        kept = []
        with Store(folder / "results.sqlite3", lambda: now[0]) as store:
            exam = begin(store, store.person("Wen"), exam_paper)
            for n in range(5):
                left = exam.left_s
                now[0] += timedelta(seconds=dice.choice((-1, 1)) * 10 ** dice.uniform(1, 8.5))
                kept.append(exam.give(question, f"{n} kPa", 1.0))
                exam.tick()
                if not left - 60.0 < exam.left_s <= left:
                    return f"time left went from {left:.0f} to {exam.left_s:.0f} s"
            exam.hand_in()
        return missing(folder, kept)
