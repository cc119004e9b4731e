"""Pictures for the README: `python -m glasscan.window.readme_pictures [FOLDER]` draws each journey anew.

Every picture is a frame of the window as a person gets it: the same code, a shipped lesson, some keys.
Nothing is shown on a display, and nothing is kept among the user's own files.
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pygame

from glasscan.ui.page import Shown
from glasscan.ui.progress_task import ReportProgress
from glasscan.ui.view_options import ViewOptions
from glasscan.window.routes import route

if TYPE_CHECKING:
    from glasscan.window.exam.class_figures import ClassMaker
    from glasscan.window.open_request import OpenRequest

DRAWN, SAVED = (1920, 1080), (1024, 576)
FOLDER = "assets/pictures"
OWN_PLACES = ("XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME", "XDG_CONFIG_HOME", "XDG_DOCUMENTS_DIR")
FRAMES = 12  # drawn before a picture is taken, so that the oil has moved
FRAME_S = 1 / 60


def key(word: str) -> pygame.event.Event:
    """A key press by letter or name."""
    text = word if len(word) == 1 else ""
    return pygame.event.Event(pygame.KEYDOWN, key=pygame.key.key_code(word), unicode=text, mod=0)


def _silent(*_: object) -> None:
    """Nobody watches how far it is."""


class Camera:
    """Stands in for the window: presses keys on each page that is shown, and keeps the last one's picture.

    Args:
        keys: what is pressed on the first page, on the second, and so on; after the last of them the picture
            is taken and the window closed.
        theme: "dark" or "light".
    """

    class_maker: ClassMaker | None = None

    def __init__(self, keys: Sequence[Sequence[str]], theme: str = "dark") -> None:
        self.desk = ViewOptions(theme=theme)
        self.surface = pygame.Surface(DRAWN)
        self._keys = list(keys)

    def show(self, page: Shown) -> bool:
        """Press the keys for this page; True where it was left by them."""
        pressed = self._keys.pop(0) if self._keys else []
        self._frames(page, 2)
        for word in pressed:
            if not page.leave:
                page.handle(key(word))
            self._frames(page, 1)
        if page.leave and self._keys:
            return True
        self._frames(page, FRAMES)
        return False

    def _frames(self, page: Shown, count: int) -> None:
        for _ in range(count):
            if not page.leave:
                page.update(FRAME_S)
                page.draw(self.surface, FRAME_S)

    def open(self, wanted: OpenRequest) -> bool:
        """A lesson is not gone into from here."""
        del wanted
        return False

    def behind_bar(self, title: str, work: Callable[[ReportProgress], Any]) -> Any:
        """Do the work at once."""
        del title
        return work(_silent)


def lesson(
    name: str, at_s: float, keys: Sequence[str] = "", theme: str = "dark", mode: str = "demonstrate"
) -> pygame.Surface:
    """A lesson at a moment, after some keys."""
    from glasscan.learning.scenario_loading import load_scenario
    from glasscan.window.cutaway.cutaway_view import hurry
    from glasscan.window.lesson.lesson_loading import open_session
    from glasscan.window.lesson.lesson_screen import Screen

    opened = open_session(load_scenario(name), keys=False)
    session = opened.session
    session.run_to(at_s)
    hurry(session.carriers, session.section.frame(session.snapshot), 150)
    camera = Camera([], theme)
    screen = Screen(session, camera.desk, opened.prompts, mode != "demonstrate")
    screen.draw(camera.surface)
    for word in keys:
        screen.handle(key(word))
        screen.update(0.0)
        screen.draw(camera.surface)
    screen.rivalry.wait()
    screen.closer.wait()
    screen.update(0.0)
    for _ in range(FRAMES):
        screen.draw(camera.surface, FRAME_S)
    return camera.surface


def first_screen() -> pygame.Surface:
    """The first screen with its pictures."""
    from glasscan.window.home import thumbnails
    from glasscan.window.home.home import Home
    from glasscan.window.home.lesson_index import LessonIndex, fill
    from glasscan.window.home.resume_state import ResumeState

    shelf = LessonIndex()
    fill(shelf)
    thumbnails.work_out(list(shelf.filters), ("dark",), _silent)
    left = ResumeState(scenario="cold-start", title="Cold start on a spin-on filter", t_s=125.0)
    home = Home(ViewOptions(), shelf, left)
    surface = pygame.Surface(DRAWN)
    for _ in range(FRAMES):  # the pictures of the filters are unpacked one a frame
        home.update(FRAME_S)
        home.draw(surface)
    home.close()
    return surface


def pages(word: str, *keys: Sequence[str], theme: str = "dark") -> pygame.Surface:
    """Pages of another way in, after keys on each."""
    camera = Camera(keys, theme)
    route(word).take(camera)
    return camera.surface


SHOTS: dict[str, Callable[[], pygame.Surface]] = {
    "first-screen": first_screen,
    "cold-start": lambda: lesson("cold-start", 12.0),
    "why": lambda: lesson("cartridge-cold-start", 14.0, "wwwww", "light"),
    "point": lambda: lesson("cold-fluid-relief", 12.0, ["f", *["right"] * 6]),
    "hands": lambda: lesson("cold-start", 0.0, "h" + "1" * 4 + "2" * 3 + "3" * 2 + "4" * 9),
    "beside": lambda: lesson("cold-start", 20.0, "b"),
    "closer": lambda: lesson("cartridge-clogs", 200.0, "z", "light"),
    "predict": lambda: lesson("cold-start", 0.0, "", "light", "practise"),
    "fault-case": lambda: pages("case", ["return"], []),
    "bench-cut-open": lambda: pages("bench", ["return"], ["return"], ["2"]),
    "bench-job": lambda: pages("job", ["return"], [], theme="light"),
    "paper": lambda: pages("paper", [*"wen", "return"], ["m"], ["return"], []),
}


MOVING, MOVING_PX, MOVING_FRAMES, MOVING_MS, MOVING_COLOURS = "moving", (640, 360), 60, 120, 40
"""The moving picture: name, size, frames, time of each, colours; small enough for a page."""


def moving(path: Path) -> None:
    """The engine starts on a cold morning: the gallery fills, the valve opens; twice as fast as life."""
    from PIL import Image

    from glasscan.learning.scenario_loading import load_scenario
    from glasscan.window.lesson.lesson_loading import open_session
    from glasscan.window.lesson.lesson_screen import Screen

    opened = open_session(load_scenario("cold-start"), keys=False)
    opened.session.run_to(1.5)
    screen = Screen(opened.session, ViewOptions(), None, False)
    surface, frames = pygame.Surface(DRAWN), []
    screen.draw(surface)
    opened.session.wall = lambda: 0.0
    opened.session.toggle()
    opened.session.faster(1)
    for _ in range(MOVING_FRAMES):
        for _ in range(4):
            screen.update(MOVING_MS / 4000)
            screen.draw(surface, MOVING_MS / 4000)
        small = pygame.transform.smoothscale(surface, MOVING_PX)
        frames.append(Image.frombytes("RGB", MOVING_PX, pygame.image.tobytes(small, "RGB")))
    palette = frames[-1].quantize(MOVING_COLOURS)
    flat = [frame.quantize(palette=palette, dither=Image.Dither.NONE) for frame in frames]
    flat[0].save(path, save_all=True, append_images=flat[1:], duration=MOVING_MS, loop=0, optimize=True)


def save(surface: pygame.Surface, path: Path) -> None:
    """Keep a picture, reduced."""
    path.parent.mkdir(parents=True, exist_ok=True)
    pygame.image.save(pygame.transform.smoothscale(surface, SAVED), path)


def main(words: Sequence[str]) -> int:
    """Draw all pictures, or those named after the folder, into a folder."""
    os.environ.setdefault("SDL_VIDEODRIVER", "dummy")
    folder = Path(words[0]) if words else Path(FOLDER)
    pygame.display.init()
    pygame.font.init()
    pygame.display.set_mode((640, 480))
    with tempfile.TemporaryDirectory() as own:
        for place in OWN_PLACES:
            os.environ[place] = own
        for name in words[1:] or (*SHOTS, MOVING):
            if name == MOVING:
                moving(folder / f"{name}.gif")
                continue
            save(SHOTS[name](), folder / f"{name}.jpg")
            print(f"drawn: {folder / name}.jpg", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
