"""The instructor's way through the real program, in a real window under a virtual display, by keys alone."""

import json
import os
import re
import subprocess
import sys
import time

import pytest

from tests.window.realwindow import NEEDS_DISPLAY, strike

FIRST = "Oil flow through a spin-on filter, part by part"
PATIENCE_S = 90.0  # a busy machine loads a lesson slowly
pytestmark = NEEDS_DISPLAY


class Person:
    """Types into the program and reads what it says."""

    def __init__(self, display, folder):
        env = {k: v for k, v in os.environ.items() if k != "SDL_VIDEODRIVER"} | {"DISPLAY": display}
        for place in ("DATA_HOME", "CACHE_HOME", "STATE_HOME", "DOCUMENTS_DIR"):
            env[f"XDG_{place}"] = str(folder)
        env["PYTHONPATH"] = os.pathsep.join(p for p in sys.path if p)
        self.env, self.folder = env, folder
        command = [sys.executable, "-m", "glasscan"]
        self.program = subprocess.Popen(command, env=env, stdout=subprocess.PIPE)
        os.set_blocking(self.program.stdout.fileno(), False)
        self.said = ""

    def types(self, *words):
        """Press keys one after another."""
        strike(self.env, *words, wait_s=0.15)

    def sees(self, title):
        """Whether a window with such a title is on the display."""
        return any(
            title in self._asks("getwindowname", w) for w in self._asks("search", "--class", ".").split()
        )

    def _asks(self, *words):
        found = subprocess.run(["xdotool", *words], env=self.env, capture_output=True, text=True, check=False)
        return found.stdout

    def turns_back(self):
        """Give the keys to the main window: there is no window manager here that does."""
        for window in self._asks("search", "--class", ".").split():
            self._asks("windowfocus", "--sync", window)

    def waits(self, until, what):
        """Until something is so."""
        end = time.monotonic() + PATIENCE_S
        while not until():
            assert self.program.poll() is None, f"the program has ended before: {what}"
            assert time.monotonic() < end, what
            time.sleep(0.2)

    def hears(self, text):
        """Whether the program has said something on its standard output."""
        self.said += (self.program.stdout.read() or b"").decode()
        return text in self.said

    def left(self):
        """What the program keeps of where it was left."""
        path = next(iter(self.folder.rglob("left-off.json")), None)
        return json.loads(path.read_text(encoding="utf-8")) if path else {}


def test_the_instructor_before_a_class(display, tmp_path):
    """Open, run, count hands, point, notes in another window, keep a picture; leave; carry on from there."""
    person = Person(display, tmp_path)
    try:
        person.waits(lambda: person.sees("Glasscan"), "the first screen")
        person.types("Return", "s", "space")  # pressed before anything is loaded: nothing is lost
        person.waits(lambda: person.hears("Parts, from the top down:"), "the lesson said in words")
        assert FIRST in person.said
        person.waits(lambda: person.hears("gallery full"), "an event of the run")
        person.types("n", "n")  # with one display the notes come into this window first
        person.waits(lambda: person.sees("Glasscan: notes"), "the presenter's own window")
        person.types("n")
        person.waits(lambda: not person.sees("Glasscan: notes"), "its end")
        person.turns_back()
        person.types("n", "h", "1", "1", "2", "Return", "Escape", "f", "Right", "Right", "k")
        person.waits(lambda: list(tmp_path.rglob("*.png")), "a picture on the disk")
        person.types("Escape", "Escape", "Escape")  # the hands counted are asked for once
        person.waits(lambda: person.left().get("t_s", 0.0) > 1.0, "where it was left")
        at_s = person.left()["t_s"]
        person.waits(lambda: not person.sees(FIRST), "the first screen again")
        person.said = ""
        person.types("c", "s")
        person.waits(lambda: person.hears("Parts, from the top down:"), "the lesson again")
        minutes, seconds = re.findall(FIRST + r", (\d+):([\d.]+),", person.said)[-1]
        assert 60 * float(minutes) + float(seconds) == pytest.approx(at_s, abs=0.2)
    finally:
        person.program.kill()
        person.program.wait(timeout=10)
        person.program.stdout.close()
