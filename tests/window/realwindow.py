"""A real window on a virtual X display of its own, driven by real keys."""

import os
import shutil
import subprocess
import sys
import time

import pytest

NEEDS_DISPLAY = pytest.mark.skipif(
    not (shutil.which("Xvfb") and shutil.which("xdotool")),
    reason="needs Xvfb and xdotool for a real X window",
)
PAGES = """
import sys
from glasscan.window import app
from glasscan.window.open_request import OpenRequest
loop = app.run_loop
def told(page, frames=None):
    print(type(page).__name__, flush=True)
    loop(page, frames)
app.run_loop = told
app.open_display("trial")
app.Application().open(OpenRequest("", sys.argv[1], way=sys.argv[2]))
print("left", flush=True)
"""
SETTLED_S, BETWEEN_S = 0.5, 0.12  # from a page's first frame to its first key; between two keys


@pytest.fixture
def display():
    """A virtual display of its own."""
    read, write = os.pipe()
    command = ["Xvfb", "-displayfd", str(write), "-screen", "0", "1280x720x24"]
    server = subprocess.Popen(command, pass_fds=[write], stderr=subprocess.DEVNULL)
    os.close(write)
    try:
        yield f":{os.read(read, 16).decode().strip()}"
    finally:
        os.close(read)
        server.terminate()
        server.wait(timeout=10)


@pytest.fixture
def env(display, tmp_path):
    """The environment of a program on that display, with folders of this test for all that is kept."""
    folders = {f"XDG_{word}_HOME": str(tmp_path / word.lower()) for word in ("DATA", "STATE", "CACHE")}
    rest = {k: v for k, v in os.environ.items() if k != "SDL_VIDEODRIVER"}
    path = os.pathsep.join(p for p in sys.path if p)
    return rest | folders | {"DISPLAY": display, "PYTHONPATH": path, "HOME": str(tmp_path)}


def strike(env, *keys, wait_s=BETWEEN_S):
    """Press keys one by one, as xdotool names them."""
    for key in keys:
        subprocess.run(["xdotool", "key", key], env=env, check=True)
        time.sleep(wait_s)


class Window:
    """A way in from the first screen, opened in a process of its own that says which page it shows."""

    def __init__(self, mode, way, env):
        self.env = env
        command = [sys.executable, "-c", PAGES, mode, way]
        self.process = subprocess.Popen(command, env=env, stdout=subprocess.PIPE, text=True)

    def on(self, page, *keys):
        """Wait for a page, then press keys."""
        while (line := self.process.stdout.readline().strip()) != page:
            assert line, f"the window ended before {page}"
        time.sleep(SETTLED_S)
        strike(self.env, *keys)

    def kill(self):
        """End it as a power cut does."""
        self.process.kill()
        self.process.wait(timeout=10)
        self.process.stdout.close()
