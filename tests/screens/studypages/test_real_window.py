"""Self-study and exam in a real window on a virtual X display: real keys, and a kill in mid-paper."""

import os
import shutil
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from sim.lessons.exam.paper import paper_text
from sim.lessons.prompts import asked
from sim.screens.studypages.studying import read_lessons
from tests.lessons.exam.exampaper import small_paper

WINDOW = """
import sys
from sim.screens import app
from sim.screens.home import Wanted
loop = app.run_loop
def told(page, frames=None):
    print(type(page).__name__, flush=True)
    loop(page, frames)
app.run_loop = told
app.open_display("trial")
app.Sitting().open(Wanted("", "exam", way=sys.argv[1]))
print("left", flush=True)
"""
pytestmark = pytest.mark.skipif(
    not (shutil.which("Xvfb") and shutil.which("xdotool")),
    reason="needs Xvfb and xdotool for a real X window",
)


@pytest.fixture
def env(tmp_path):
    """A virtual display, and folders of this test for all that is kept."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", "1280x720x24"],
        pass_fds=[write],
        stderr=subprocess.DEVNULL,
    )
    os.close(write)
    display = f":{os.read(read, 16).decode().strip()}"
    folders = {f"XDG_{word}_HOME": str(tmp_path / word.lower()) for word in ("DATA", "STATE", "CACHE")}
    rest = {k: v for k, v in os.environ.items() if k != "SDL_VIDEODRIVER"}
    path = os.pathsep.join(p for p in sys.path if p)
    yield rest | folders | {"DISPLAY": display, "PYTHONPATH": path, "HOME": str(tmp_path)}
    os.close(read)
    server.terminate()
    server.wait(timeout=10)


class Window:
    """The real window's process, driven by keys."""

    def __init__(self, way, env):
        command = [sys.executable, "-c", WINDOW, way]
        self.env = env
        self.process = subprocess.Popen(command, env=env, stdout=subprocess.PIPE, text=True)

    def on(self, page, *keys):
        """Wait for a page, then press keys."""
        while (line := self.process.stdout.readline().strip()) != page:
            assert line, f"the window ended before {page}"
        time.sleep(0.4)
        self.press(*keys)

    def press(self, *keys):
        """Press keys one by one."""
        for key in keys:
            subprocess.run(["xdotool", "key", key], env=self.env, check=True)
            time.sleep(0.12)

    def kill(self):
        """End it as a power cut does."""
        self.process.kill()
        self.process.wait(timeout=10)
        self.process.stdout.close()


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
    limit = {"limit_s": 1800.0}
    text = paper_text(paper.model_copy(update=limit), sources.model_copy(update=limit))
    folder = tmp_path / "data" / "glasscan" / "papers"
    folder.mkdir(parents=True)
    (folder / "week-3.json").write_text(text)
    answers = "SELECT prompt, given FROM answers ORDER BY id"
    first = Window("paper", env)
    try:
        first.on("WhoPage", "w", "e", "n", "Return")
        first.on("PapersPage", "Return")
        first.on("ReadyPage", "Return")
        first.on("SitPage", "1", "2", "Next", "1")
        assert [given for _, given in rows(env, answers, lambda r: len(r) == 2)] == ["12", "cracked"]
        left = rows(env, "SELECT left_s FROM sittings", lambda r: r and r[0][0] < 1797.0)[0][0]
    finally:
        first.kill()
    assert left < 1797.0
    again = Window("paper", env)
    try:
        again.on("PapersPage", "Return")
        again.on("ReadyPage", "Return")
        again.on("SitPage", "5", "Next")
        given = rows(env, answers, lambda r: len(r) == 3)
        assert [g for _, g in given] == ["12", "cracked", "125"]
        (after,) = rows(env, "SELECT left_s FROM sittings", lambda r: r and r[0][0] < left)
        assert left - 60.0 < after[0] < left
    finally:
        again.kill()


def test_due_today_by_real_keys(env):
    """Nickname, the first question (point at a part), its odds: the answer is in the store."""
    window = Window("due", env)
    try:
        window.on("WhoPage", "w", "e", "n", "Return")
        window.on("TodayPage", "Return")
        scenario = next(iter(read_lessons(lambda *_: None).values()))
        window.on("StudyPage", asked(scenario.prompts[0], scenario).parts[0][0], "Right", "Right", "Return")
        found = rows(env, "SELECT given, confidence FROM answers", len)
        assert [confidence for _, confidence in found] == [2]
    finally:
        window.kill()
