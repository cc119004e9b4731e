"""The workshop in a real window on a virtual X display, by real keys."""

import os
import shutil
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

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
app.Sitting().open(Wanted("", "practise", way=sys.argv[1]))
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
        self.env = env
        self.process = subprocess.Popen(
            [sys.executable, "-c", WINDOW, way], env=env, stdout=subprocess.PIPE, text=True
        )

    def on(self, page, *keys):
        """Wait for a page, then press keys one by one."""
        while (line := self.process.stdout.readline().strip()) != page:
            assert line, f"the window ended before {page}"
        time.sleep(0.5)
        for key in keys:
            subprocess.run(["xdotool", "key", key], env=self.env, check=True)
            time.sleep(0.12)

    def end(self):
        """End it."""
        self.process.kill()
        self.process.wait(timeout=10)
        self.process.stdout.close()


def test_a_filter_from_the_shelf_to_the_store(env):
    """Choose, open, take the first find up, hand in, keep: the outcome stands in the results store."""
    window = Window("bench", env)
    try:
        window.on("ChoosePage", "Return")
        window.on("OpenPage", "Return")
        window.on("BenchPage", "2", "Next", "m", "n", "Return", "j")
        window.on("TrayPage", "h", "h")
        window.on("ReportPage", "Tab", "Tab", "w", "e", "n", "Return", "Escape", "Escape")
        window.on("ChoosePage", "Escape", "Escape")
        window.on("left")
    finally:
        window.end()
    with sqlite3.connect(Path(env["XDG_DATA_HOME"]) / "glasscan" / "results.sqlite3") as db:
        assert db.execute("SELECT nickname FROM people").fetchall() == [("wen",)]
        assert db.execute("SELECT paper FROM sittings").fetchall() == [("inspection-can",)]
        assert db.execute("SELECT count(*) FROM marks").fetchone()[0] > 5


def test_a_job_is_begun_and_left(env):
    """The first job of the list: two cards are done, one is taken back, Escape leads out."""
    window = Window("job", env)
    try:
        window.on("ChooseJobPage", "Return")
        window.on("JobPage", "Return", "Down", "Return", "z", "Escape", "Escape")
        window.on("ChooseJobPage", "Escape", "Escape")
        window.on("left")
    finally:
        window.end()
