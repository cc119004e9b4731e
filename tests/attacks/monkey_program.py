"""One monkey: `monkey_program.py SEED EVENTS`; prints events, pages met, faults, longest frame as JSON."""

from __future__ import annotations

import json
import random
import sys
import time
import traceback
from collections import Counter
from pathlib import Path
from typing import Any, cast

import pygame
from glasscan.learning.catalogue import scenario_names
from glasscan.window import app, fault_log
from glasscan.window.home.resume_state import Mode
from glasscan.window.open_request import OpenRequest
from glasscan.window.routes import ROUTES

SIZES = (
    (1280, 720),
    (640, 360),
    (320, 180),
    (1280, 4),
    (8, 8),
    (1, 720),
    (1600, 900),
    (800, 1200),
    (2560, 1080),
)
KEYS = [getattr(pygame, name) for name in dir(pygame) if name.startswith("K_") and name != "K_F11"]
LETTERS = "abcdefghijklmnopqrstuvwxyz0123456789 []+-.,?\x00é→\u202e"
LONGEST_STAY = 60  # frames on one page, after which Escape is pressed again and again
MODES: tuple[Mode, ...] = ("demonstrate", "practise", "exam")
LIKELY = (pygame.K_RETURN, pygame.K_TAB, pygame.K_DOWN, pygame.K_UP, pygame.K_SPACE, pygame.K_PAGEDOWN)


class Monkey:
    """Hands that know no rest: some events before each frame of the product's loop."""

    def __init__(self, seed: int, events: int) -> None:
        self.dice, self.left = random.Random(seed), events
        self.done, self.pages, self.faults = 0, Counter[str](), list[str]()
        self._page, self._stay = cast("Any", None), 0
        self.longest_s, self._since = 0.0, time.perf_counter()

    def some_event(self) -> pygame.event.Event:
        """A key, a click, a drag, a wheel, a drop of junk, a lost focus."""
        surface, dice = pygame.display.get_surface(), self.dice
        w, h = surface.get_size() if surface else (1, 1)
        at, kind = (dice.randrange(w), dice.randrange(h)), dice.random()
        if kind < 0.45:
            code = dice.choice(LIKELY) if dice.random() < 0.4 else dice.choice(KEYS)
            mod = dice.choice((0, 0, 0, pygame.KMOD_SHIFT, pygame.KMOD_CTRL))
            letter = "\r" if code == pygame.K_RETURN else dice.choice(LETTERS)
            return pygame.event.Event(pygame.KEYDOWN, key=code, unicode=letter, mod=mod)
        if kind < 0.7:
            return pygame.event.Event(
                pygame.MOUSEBUTTONDOWN, pos=at, button=dice.choice((1, 1, 1, 2, 3, 4, 5))
            )
        if kind < 0.85:
            return pygame.event.Event(pygame.MOUSEBUTTONUP, pos=at, button=1)
        if kind < 0.96:
            return pygame.event.Event(
                pygame.MOUSEMOTION, pos=at, buttons=(dice.randrange(2), 0, 0), rel=(1, 1)
            )
        if kind < 0.97:
            return pygame.event.Event(pygame.DROPFILE, file=dice.choice(("/dev/null", "none.yaml", "", "/")))
        return pygame.event.Event(
            dice.choice((pygame.WINDOWFOCUSLOST, pygame.WINDOWLEAVE, pygame.WINDOWEXPOSED))
        )

    def strike(self, page: Any) -> None:
        """What happens before a frame of a page."""
        self.longest_s = max(self.longest_s, time.perf_counter() - self._since)
        self._since = time.perf_counter()
        self.pages[type(page).__name__] += 1
        if self.left <= 0:
            pygame.event.post(pygame.event.Event(pygame.QUIT))
            return
        self._stay = self._stay + 1 if page is self._page else 0
        self._page = page
        if self._stay > LONGEST_STAY:
            pygame.event.post(pygame.event.Event(pygame.KEYDOWN, key=pygame.K_ESCAPE, unicode="", mod=0))
        if self.dice.random() < 0.02:
            pygame.display.set_mode(self.dice.choice(SIZES), pygame.RESIZABLE)
        for _ in range(self.dice.randrange(1, 6)):
            self.left, self.done = self.left - 1, self.done + 1
            pygame.event.post(self.some_event())


def main(seed: int, events: int) -> None:
    """Open pages until all events are spent."""
    monkey, loop, told = Monkey(seed, events), app.run_loop, fault_log.told

    def watched_loop(page: Any, frames: int | None = None) -> None:
        drawn = page.update
        monkey._since = time.perf_counter()

        def update(wall_s: float) -> None:
            monkey.strike(page)
            drawn(wall_s)

        page.update = update
        loop(page, frames)

    def noted(fault: BaseException) -> str:
        places = [p for p in traceback.extract_tb(fault.__traceback__) if "glasscan" in p.filename]
        told_as = " < ".join(f"{Path(p.filename).name}:{p.lineno}" for p in places[:-4:-1])
        surface = pygame.display.get_surface()
        size = surface.get_size() if surface else (0, 0)
        monkey.faults.append(f"{type(fault).__name__}: {fault} at {told_as}, window {size[0]}x{size[1]}")
        return told(fault)

    setattr(app, "run_loop", watched_loop)  # noqa: B010 - the product's loop, watched
    fault_log.told, app.HERTZ = noted, 1000
    app.open_display("trial")
    lessons, ways = list(scenario_names()), [way.word for way in ROUTES]
    while monkey.left > 0:
        front = app.Application()
        start = monkey.dice.choice(("home", "lesson", "way", "way"))
        mode = monkey.dice.choice(MODES)
        if start == "home":
            front.run(None)
        elif start == "lesson":
            front.open(OpenRequest(monkey.dice.choice(lessons), mode))
        else:
            front.open(OpenRequest("", mode, way=monkey.dice.choice(ways)))
        pygame.event.clear()
    out = {
        "events": monkey.done,
        "pages": monkey.pages,
        "faults": monkey.faults,
        "longest_s": monkey.longest_s,
    }
    print(json.dumps(out))


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]))
