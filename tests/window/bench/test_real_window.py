"""The workshop in a real window on a virtual X display, by real keys."""

import sqlite3
from pathlib import Path

from tests.window.realwindow import NEEDS_DISPLAY, Window

pytestmark = NEEDS_DISPLAY


def test_a_filter_from_the_shelf_to_the_store(env):
    """Choose, open, take the first find up, hand in, keep: the outcome stands in the results store."""
    window = Window("practise", "bench", env)
    try:
        window.on("ChoosePage", "Return")
        window.on("OpenPage", "Return")
        window.on("BenchPage", "2", "Next", "m", "n", "Return", "j")
        window.on("TrayPage", "h", "h")
        window.on("ReportPage", "Tab", "Tab", "w", "e", "n", "Return", "Escape", "Escape")
        window.on("ChoosePage", "Escape", "Escape")
        window.on("left")
    finally:
        window.kill()
    with sqlite3.connect(Path(env["XDG_DATA_HOME"]) / "glasscan" / "results.sqlite3") as db:
        assert db.execute("SELECT nickname FROM people").fetchall() == [("wen",)]
        assert db.execute("SELECT paper FROM sittings").fetchall() == [("inspection-can",)]
        assert db.execute("SELECT count(*) FROM marks").fetchone()[0] > 5


def test_a_job_is_begun_and_left(env):
    """The first job of the list: two cards are done, one is taken back, Escape leads out."""
    window = Window("practise", "job", env)
    try:
        window.on("ChooseJobPage", "Return")
        window.on("JobPage", "Return", "Down", "Return", "z", "Escape", "Escape")
        window.on("ChooseJobPage", "Escape", "Escape")
        window.on("left")
    finally:
        window.kill()
