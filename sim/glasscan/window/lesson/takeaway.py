"""What a class takes away: picture, clip, trace, lesson sheet and answer key, written beside the frames.

Every file carries scenario, seed, version and the teaching-only line, and none is ever overwritten.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pygame

from glasscan import __version__
from glasscan.content import BadInput
from glasscan.files import write_whole
from glasscan.number_style import NumberStyle, number_style
from glasscan.paths import documents_folder
from glasscan.rig.trace import csv_text
from glasscan.signals import SIGNALS
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import load_theme
from glasscan.window.lesson.lesson_session import Facts
from glasscan.window.lesson.trace_log import TraceLog
from glasscan.window.questions.key_run import AnswersAwaitedError, AnswersMissingError

Writer = Callable[[Path], object]
SECONDS, EVERY_S = 6.0, 0.1  # length of a clip, and time between two of its pictures
CLIP_W = 960


@dataclass(frozen=True)
class Prints:
    """Pages of a lesson as text: the sheet, and the key once the run is known; `log` fetches the run."""

    sheet: Callable[[], str]
    key: Callable[[Any], str]
    log: Callable[[], Any]


def stamp(facts: Facts) -> str:
    """What every file of a lesson carries."""
    return f"Glasscan {__version__}, scenario {facts.scenario}, seed {facts.seed}. Teaching only."


def command_line(
    facts: Facts, t_s: float, moved: Sequence[tuple[float, str, Any]], theme: str, view: str = "section"
) -> str:
    """The command that makes a picture of this moment again, with the controls moved as they were."""
    words = ["glasscan", "shot", facts.scenario or "SCENARIO", "--at", f"{t_s:.10g}", "--theme", theme]
    words += ["--view", view] if view != "section" else []
    for at_s, key, value in moved:
        told = f"{value:.10g}" if isinstance(value, float) else str(value)
        words += ["--move", f"{at_s:.10g}:{key}={told}"]
    return " ".join(words)


def home_folder() -> Path:
    """The folder for what is taken away; see `paths`."""
    return documents_folder()


def fresh(folder: Path, stem: str, suffix: str) -> Path:
    """A name in a folder that is not taken yet; the folder is made."""
    folder.mkdir(parents=True, exist_ok=True)
    names = (f"{stem}{'' if n == 1 else f'-{n}'}{suffix}" for n in range(1, 100_000))
    return next(folder / name for name in names if not (folder / name).exists())


def stamped(surface: pygame.Surface, text: str, theme: str) -> pygame.Surface:
    """A copy of a picture with the stamp on a strip below it."""
    w, h = surface.get_size()
    canvas = Canvas(surface, load_theme(theme))
    strip = canvas.measure(text)[1] + canvas.dp(12)
    out = pygame.Surface((w, h + strip))
    out.fill(canvas.theme["paper"])
    out.blit(surface, (0, 0))
    foot = Canvas(out, canvas.theme)
    foot.text(text, pygame.Rect(canvas.dp(36), h, w - canvas.dp(72), strip), colour="soft", shorten=True)
    return out


def trace_csv(log: TraceLog, style: NumberStyle | None = None) -> str:
    """The trace as the same table that `glasscan run --out` writes."""
    return csv_text(log.column("t_s"), {s.key: log.column(s.key) * s.scale for s in SIGNALS}, style)


class Taker:
    """Writes files in a thread and says in one line what became of them."""

    def __init__(self, facts: Facts, prints: Prints | None = None, folder: Path | None = None) -> None:
        self.facts, self.prints = facts, prints
        self._folder = folder
        self.notice = ""
        self._threads: list[threading.Thread] = []
        self._clip: list[pygame.Surface] | None = None
        self._clip_wait_s = 0.0
        self._key_wanted = False
        self._saved: list[Path] = []
        self._lock = threading.Lock()

    @property
    def recording(self) -> bool:
        """True while pictures for a clip are being gathered."""
        return self._clip is not None

    def wait(self) -> None:
        """Until everything is written."""
        for thread in self._threads:
            thread.join()

    def picture(self, surface: pygame.Surface, theme: str, command: str = "") -> None:
        """Save the window as it is; its foot tells the command that makes it again."""
        copy = stamped(surface, f"{stamp(self.facts)}  {command}".rstrip(), theme)
        self._beside("", ".png", lambda path: _save_png(copy, path))

    def trace(self, log: TraceLog) -> None:
        """Save the trace of the run so far."""
        try:
            style = number_style()
        except BadInput as problem:
            self.notice = problem.lines[0]
            return
        text, origin = trace_csv(log.copy(), style), stamp(self.facts)

        def write(path: Path) -> None:
            write_whole(path, text)
            write_whole(
                path.with_suffix(".txt"), f"{origin}\n"
            )  # a line in the table would spoil its columns

        self._beside("-trace", ".csv", write)

    def table(self, word: str, text: str) -> None:
        """Save a table that is already written out; `word` ends its name."""
        self._beside(word, ".csv", lambda path: write_whole(path, text))

    def sheet(self) -> None:
        """Save the lesson sheet; the key follows in a file of its own once the run is known."""
        if self.prints is None:
            self.notice = "There is no lesson sheet for this."
            return
        self._beside("-sheet", ".html", lambda path: write_whole(path, self.prints.sheet()))  # type: ignore[union-attr]
        self._key_wanted = True

    def clip(self) -> None:
        """Begin to gather a clip; it is written after some seconds."""
        if self._clip is None:
            self._clip, self._clip_wait_s = [], EVERY_S
            self.notice = "Recording a clip…"

    def frame(self, surface: pygame.Surface, drawn_s: float, theme: str) -> None:
        """See one frame as drawn."""
        if self._clip is None:
            return
        self._clip_wait_s += drawn_s
        if self._clip_wait_s >= EVERY_S:
            self._clip_wait_s = 0.0
            whole = stamped(surface, stamp(self.facts), theme)
            size = CLIP_W, round(CLIP_W * whole.get_height() / whole.get_width())
            self._clip.append(pygame.transform.smoothscale(whole, size))
            self.notice = f"Recording a clip… {len(self._clip) * EVERY_S / SECONDS:.0%}"
        if len(self._clip) * EVERY_S >= SECONDS - 1e-9:
            pictures, self._clip = self._clip, None
            self._beside("", ".gif", lambda path: _save_gif(pictures, path))
            if can_film():
                self._beside("", ".mp4", lambda path: _save_mp4(pictures, path), together=True)

    def update(self) -> None:
        """Write the key as soon as the run is known."""
        if not self._key_wanted or self.prints is None:
            return
        prints = self.prints
        try:
            log = prints.log()
        except AnswersAwaitedError:
            return
        except AnswersMissingError as trouble:
            self.notice, self._key_wanted = str(trouble), False
            return
        self._key_wanted = False
        self._beside("-key", ".html", lambda path: write_whole(path, prints.key(log)), together=True)

    def _beside(self, word: str, suffix: str, write: Writer, together: bool = False) -> None:
        """Write a file in a thread; one that belongs `together` with the last is told with it."""

        def work() -> None:
            try:
                path = fresh(
                    self._folder or home_folder(), f"{self.facts.scenario or 'glasscan'}{word}", suffix
                )
                write(path)
                with self._lock:
                    self._saved = [*self._saved, path] if together else [path]
                    self.notice = f"Saved: {_named(self._saved)}"
            except (OSError, ValueError, pygame.error) as error:
                self.notice = f"Not saved: {' '.join(str(error).split())}"

        thread = threading.Thread(target=work)
        self._threads = [t for t in self._threads if t.is_alive()] + [thread]
        thread.start()


def _named(paths: Sequence[Path]) -> str:
    """Files of one folder in words: the first with its folder, the others by name."""
    return " and ".join([str(paths[0]), *(p.name for p in paths[1:])])


def _save_png(surface: pygame.Surface, path: Path) -> None:
    made = BytesIO()
    pygame.image.save(surface, made, "picture.png")
    write_whole(path, made.getvalue())


def can_film() -> bool:
    """True where the optional video writer is installed (`pip install glasscan[video]`)."""
    return find_spec("imageio_ffmpeg") is not None


def _save_mp4(pictures: list[pygame.Surface], path: Path) -> None:
    """The clip as a film, by the optional writer."""
    import imageio_ffmpeg

    w, h = (size - size % 2 for size in pictures[0].get_size())  # the codec wants even sizes
    writer = imageio_ffmpeg.write_frames(str(path), (w, h), fps=round(1 / EVERY_S), macro_block_size=2)
    writer.send(None)
    for picture in pictures:
        pixels = pygame.surfarray.array3d(picture)[:w, :h]
        writer.send(np.ascontiguousarray(pixels.swapaxes(0, 1)).tobytes())
    writer.close()


def _save_gif(pictures: list[pygame.Surface], path: Path) -> None:
    from PIL import Image  # takes a tenth of a second that no start of the window should wait for

    frames = [
        Image.fromarray(np.ascontiguousarray(pygame.surfarray.array3d(p).swapaxes(0, 1))) for p in pictures
    ]
    made = BytesIO()
    frames[0].save(
        made, "GIF", save_all=True, append_images=frames[1:], duration=round(EVERY_S * 1000), loop=0
    )
    write_whole(path, made.getvalue())
