"""`glasscan case` in a real window on a virtual X display: real keys, and the case on disk after a kill."""

import subprocess
import sys
import time
from functools import partial

from glasscan.learning.cases.case_files import read

from tests.window.realwindow import NEEDS_DISPLAY, strike

WINDOW = """
import builtins, pathlib, sys, types
from tests.window.cases.smallworld import small_world
small_world(types.SimpleNamespace(setattr=builtins.setattr), pathlib.Path(sys.argv[1]))
from glasscan.cli.main import main
sys.exit(main(["case", "--seed", sys.argv[2], "--filter", "can", "--level", "2"]))
"""
PATIENCE_S = 60.0
pytestmark = NEEDS_DISPLAY


def until(holds, window):
    """Wait until something holds; the window must live so long."""
    end = time.monotonic() + PATIENCE_S
    while not holds():
        assert time.monotonic() < end, "waited too long"
        assert window.poll() is None, "the window has ended"
        time.sleep(0.1)


def test_a_case_played_by_real_keys_lies_on_disk(env, tmp_path, runnable):
    """Test, start and verdict are on disk as soon as they are done; a kill loses nothing."""
    seed = runnable[0]
    path = tmp_path / "data" / "glasscan" / "cases" / f"can-{seed}-level-2.json"

    keys = partial(strike, env, wait_s=0.25)

    def done():
        return [entry.what for entry in read(path).entries]

    command = [sys.executable, "-c", WINDOW, str(tmp_path / "atlas"), str(seed)]
    window = subprocess.Popen(command, env=env, stdin=subprocess.DEVNULL)
    try:
        until(path.exists, window)
        time.sleep(0.5)
        keys("Return", "Return", "g")
        until(lambda: done() == ["hypothesis", "test"], window)
        keys("1")
        until(lambda: done()[2:] == ["act"], window)
        keys("6", "Down", "Return", "Tab", "o", "k", "Tab", "Tab", "Return")
        until(lambda: "verdict" in done(), window)
    finally:
        window.kill()
        window.wait(timeout=10)
    case = read(path)
    assert case.tests_done == ["read-log"]
    assert case.running
    assert case.verdict == case.suspects[1]
    assert [entry.words for entry in case.entries if entry.what == "action"] == [("ok",)]
    assert case.ended == "verdict"
