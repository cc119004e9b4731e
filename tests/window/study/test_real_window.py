"""Self-study and exam in a real window on a virtual X display: real keys, and a kill in mid-paper."""

import sqlite3
import time
from pathlib import Path

from glasscan.learning.exam.paper import paper_text
from glasscan.learning.prompts import asked
from glasscan.window.study.study_flow import read_lessons

from tests.learning.exam.exampaper import small_paper
from tests.window.realwindow import NEEDS_DISPLAY, Window

pytestmark = NEEDS_DISPLAY


def rows(env, query, until):
    """Rows of the store, once they are as many as wanted."""
    path = Path(env["XDG_DATA_HOME"]) / "glasscan" / "results.sqlite3"
    found = []
    for _ in range(100):
        if path.exists():
            with sqlite3.connect(path) as db:
                found = db.execute(query).fetchall()
            if until(found):
                break
        time.sleep(0.1)
    return found


def test_a_kill_in_mid_paper_loses_no_answer_and_no_time(env, tmp_path):
    """kill -9 of the real window; started again, the same sitting goes on with its answers and its clock."""
    paper, sources = small_paper(tmp_path)
    paper = paper.model_copy(update={"limit_s": 1800.0, "clock": "stands"})
    text = paper_text(sources.model_copy(update={"questions": paper}))
    folder = tmp_path / "data" / "glasscan" / "papers"
    folder.mkdir(parents=True)
    (folder / "week-3.json").write_text(text)
    answers = "SELECT prompt, given FROM answers ORDER BY id"
    first = Window("exam", "paper", env)
    try:
        first.on("WhoPage", "w", "e", "n", "Return")
        first.on("PapersPage", "Return")
        first.on("ReadyPage", "Return")
        first.on("SitPage", "1", "2", "Next", "1")
        number, chosen = [given for _, given in rows(env, answers, lambda r: len(r) == 2)]
        assert number == "12"
        assert chosen in ("cracked", "seated", "other")  # the line that this sitting lists first
        left = rows(env, "SELECT left_s FROM sittings", lambda r: r and r[0][0] < 1797.0)[0][0]
    finally:
        first.kill()
    assert left < 1797.0
    again = Window("exam", "paper", env)
    try:
        again.on("PapersPage", "Return")
        again.on("ReadyPage", "Return")
        again.on("SitPage", "5", "Next")
        given = rows(env, answers, lambda r: len(r) == 3)
        assert [g for _, g in given] == ["12", chosen, "125"]
        (after,) = rows(env, "SELECT left_s FROM sittings", lambda r: r and r[0][0] < left)
        assert left - 60.0 < after[0] < left
    finally:
        again.kill()


def test_due_today_by_real_keys(env):
    """Nickname, the first question (a part or a line), its odds: the answer is in the store."""
    window = Window("exam", "due", env)
    try:
        window.on("WhoPage", "w", "e", "n", "Return")
        window.on("TodayPage", "Return")
        scenario = next(iter(read_lessons(lambda *_: None).values()))
        parts = asked(scenario.prompts[0], scenario, None, "").parts
        window.on("StudyPage", parts[0][0] if parts else "1", "Right", "Right", "Return")
        found = rows(env, "SELECT given, confidence FROM answers", len)
        assert [confidence for _, confidence in found] == [2]
    finally:
        window.kill()
