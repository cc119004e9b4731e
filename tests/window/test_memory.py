"""Memory of the window after many sizes: what was made for a size that is gone does not pile up.

500 MB is what a school's old laptop can spare (common practice, no source).
"""

import subprocess
import sys

MOST_MB = 500.0
PROGRAM = """
import os, pathlib, resource, threading
os.environ["SDL_VIDEODRIVER"] = "dummy"
import pygame
pygame.display.init()
pygame.display.set_mode((640, 480))
from glasscan.learning.scenario_loading import load_scenario
from glasscan.ui.view_options import ViewOptions
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen

screen = Screen(open_session(load_scenario("warm-start"), keys=False).session, ViewOptions())
screen.update(0.5)
for i in range(60):
    screen.desk.slot = ("trace", "valve")[i % 2]
    screen.desk.theme = ("dark", "light")[i // 2 % 2]
    screen.draw(pygame.Surface((800 + 20 * i, 500 + 11 * i)), 0.02)
    screen.update(0.02)
for thread in threading.enumerate():
    if thread.name == "laminar table":  # made once for each filter; its factors are let go at its end
        thread.join()
now = pathlib.Path("/proc/self/statm")
pages = int(now.read_text().split()[1]) if now.exists() else 0
peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
print(pages * resource.getpagesize() / 2**20 or peak_mb)
"""


def test_sixty_sizes_leave_the_memory_small():
    """A lesson drawn at sixty sizes up to 2,000 by 1,150, in two themes, with the valve under the lens."""
    done = subprocess.run([sys.executable, "-c", PROGRAM], capture_output=True, text=True, check=True)
    assert float(done.stdout.splitlines()[-1]) < MOST_MB
