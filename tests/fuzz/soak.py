"""Long use of the window and of the plant: `python -m tests.fuzz.soak window 3600` and `... plant 10000`.

The window is drawn without a display while somebody hurries, rewinds, drops debris and moves the controls;
what a run must remember goes back to nothing at each rewind to the start, so memory is compared from lap to
lap. The plant runs in steps of an hour with starts, stops, heat and frost. The numbers of the last runs stand
in tests/README.md.
"""

from __future__ import annotations

import gc
import os
import random
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import numpy as np
import pygame
from glasscan.learning.assemble import rig_setup
from glasscan.learning.scenario_loading import load_scenario
from glasscan.rig.rig import Rig
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.lesson_session import SPEEDS, LessonSession

FRAME_S = 1 / 60
SIZE = (1280, 720)
LAPS = 6
HOUR_S = 3600.0
MB = 1e-6
KEYS = "tuznhlxcgd\t\t\t "


@dataclass(frozen=True)
class Soaked:
    """What a soak leaves behind: memory, MB, and living objects after each lap, and frames drawn."""

    rss_mb: tuple[float, ...]
    objects: tuple[int, ...]
    frames: int

    def growth_mb(self) -> float:
        """Slope of the memory over the later half, MB per lap, by least squares: first use fills caches."""
        kept = self.rss_mb[len(self.rss_mb) // 2 :]
        return float(np.polyfit(range(len(kept)), kept, 1)[0])


def rss_mb() -> float:
    """Resident memory of this process, MB (Linux)."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") * MB


def window(total_s: float, laps: int = LAPS, seed: int = 1) -> Soaked:
    """Draw the window until `total_s` of model time has been run in so many laps of one scenario."""
    pygame.display.init()
    pygame.font.init()
    surface = pygame.display.set_mode(SIZE)
    scenario = load_scenario(
        "cold-start", [f"end_s={max(total_s / laps, 5.0):g}", "timeline=[]", "notes=[]", "start.rpm=900"]
    )
    opened = open_session(scenario, keys=False)
    session = opened.session
    session.wall = lambda: 0.0  # no model time is dropped, however slow the machine
    screen, dice = Screen(session), random.Random(seed)
    memory: list[float] = []
    objects: list[int] = []
    frames = 0
    for _ in range(laps):
        frames += _lap(screen, session, surface, dice)
        session.take_out()
        session.rewind(0.0)
        gc.collect()
        memory.append(rss_mb())
        objects.append(len(gc.get_objects()) + gc.get_freeze_count())
        _tell(f"lap {len(memory)} of {laps}: {frames} frames, {memory[-1]:.1f} MB")
    opened.close()
    return Soaked(tuple(memory), tuple(objects), frames)


def _lap(screen: Screen, session: LessonSession, surface: pygame.Surface, dice: random.Random) -> int:
    """From the start to the end of the run, with use; returns the frames drawn."""
    frames = 0
    while not session.finished:
        if frames % 30 == 0:
            _use(screen, session, dice)
        session.playing = True
        screen.update(FRAME_S)
        screen.draw(surface, FRAME_S)
        frames += 1
    return frames


def _use(screen: Screen, session: LessonSession, dice: random.Random) -> None:
    """One thing that a person does."""
    session.speed_index = dice.choice([SPEEDS.index(s) for s in (1.0, 2.0, 5.0, 10.0)])
    deed = dice.randrange(6)
    if deed == 0:
        session.change("rpm", dice.uniform(500.0, 2700.0))
    elif deed == 1:
        session.change("air_c", dice.uniform(-30.0, 40.0))
    elif deed == 2:
        session.drop(dice.choice(("steel-flake", "bronze-speck")), 3)
    elif deed == 3:
        session.rewind(session.snapshot.t_s - dice.uniform(0.0, 10.0))
    else:
        letter = dice.choice(KEYS)
        screen.handle(pygame.event.Event(pygame.KEYDOWN, key=ord(letter), unicode=letter, mod=0))


def plant(hours: int, name: str = "cold-start", seed: int = 1) -> Iterator[tuple[float, float, float]]:
    """Run a rig in steps of an hour; volume error, mass error (relative) and memory, MB, after each hour."""
    setup = replace(rig_setup(load_scenario(name)), timeline=())
    rig, dice = Rig(setup), random.Random(seed)
    for hour in range(hours):
        if hour % 5 == 0:
            rig.set("rpm", dice.choice([0.0, 700.0, 2400.0]))
            rig.set("air_c", dice.uniform(-30.0, 40.0))
        if setup.network.dirt_side.scraper is not None and hour % 10 == 0:
            rig.set("scraper_turns", 2.0)
            rig.advance_to(rig.handle_rests_s)
            rig.set("drain_bowl", 1.0)
        rig.step(HOUR_S)
        books = rig.ledger()
        assert np.isfinite(rig.state.y).all(), f"not finite after {hour} h"
        yield books.volume_error_rel, books.mass_error_rel, rss_mb()
        if hour % 1000 == 999:
            _tell(f"{hour + 1} h: volume {books.volume_error_rel:.1e}, mass {books.mass_error_rel:.1e}")


def _tell(text: str) -> None:
    print(text, file=sys.stderr, flush=True)


def _report(which: str, amount: float, name: str) -> str:
    if which == "window":
        soaked = window(amount)
        laps = ", ".join(f"{mb:.0f}" for mb in soaked.rss_mb)
        return f"{soaked.frames} frames, {laps} MB, {soaked.growth_mb():+.2f} MB a lap"
    rows = np.abs(np.array(list(plant(int(amount), name))))
    half = len(rows) // 2
    worst = f"largest error of volume {rows[:, 0].max():.1e}, of mass {rows[:, 1].max():.1e}"
    grown = rows[-1, 2] - rows[half, 2]
    return f"{len(rows)} h of {name}: {worst}; memory {grown:+.1f} MB over the second half"


if __name__ == "__main__":
    print(_report(sys.argv[1], float(sys.argv[2]), (sys.argv[3:] or ["cold-start"])[0]))
