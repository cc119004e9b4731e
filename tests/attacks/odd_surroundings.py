"""Locales, flags of Python, dead displays and files that never end."""

from __future__ import annotations

import os
import subprocess
import sys
from functools import cache
from pathlib import Path

from tests.attacks.base import TOP, Attack, Done, glasscan, paper

LOCALES = (
    "C",
    "POSIX",
    "C.UTF-8",
    "tr_TR.UTF-8",
    "de_DE.ISO-8859-1",
    "ja_JP.SJIS",
    "no_such",
    "",
    "en_US.UTF-8",
)
FLAGS = (
    ("-O",), ("-OO",), ("-W", "error"), ("-X", "dev"), ("-bb",), ("-B", "-s"), ("-X", "utf8=0"), ("-I",),
    ("-u",), ("-X", "frozen_modules=off"),
)  # fmt: skip
VERBS = (
    ("figure", "density", "rho15=880", "at_c=60", "--json"),
    ("run", "cold-start", "--for", "1", "--json"),
    ("check", "scraper-day"),
    ("case", "--seed", "3", "--json"),
)
SOON_S = 240.0  # a dead display or an endless file must have been met by then; a first case takes a while


@cache
def plain(words: tuple[str, ...], folder: Path) -> str:
    """What the command says in usual surroundings."""
    return glasscan(folder, *words).out


class Locales(Attack):
    """The same output byte by byte, whatever letters and decimal points the system has."""

    name, about, usual = "locales", "locales without letters, unknown ones, Python's UTF-8 off", len(LOCALES)

    def once(self, number: int, folder: Path) -> str:
        """One locale, one verb."""
        words = VERBS[number % len(VERBS)]
        env = {"LC_ALL": LOCALES[number % len(LOCALES)], "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
        return _as_usual(words, glasscan(folder, *words, env=env), folder, str(env["LC_ALL"]))


class Flags(Attack):
    """The same output with every flag of Python; with -W error no warning anywhere."""

    name, about, usual = "python-flags", "-O, -OO, -I, -W error, -X dev, -bb and others", len(FLAGS)

    def once(self, number: int, folder: Path) -> str:
        """One flag, one verb."""
        flags, words = FLAGS[number % len(FLAGS)], VERBS[(number // 3) % len(VERBS)]
        done = _isolated(folder, words) if flags == ("-I",) else glasscan(folder, *words, flags=flags)
        return _as_usual(words, done, folder, " ".join(flags))


def _isolated(folder: Path, words: tuple[str, ...]) -> Done:
    """With -I Python looks at no environment, so the place of the package is told inside."""
    begin = f"import runpy, sys; sys.path.insert(0, {str(TOP / 'sim')!r})"
    inside = f"{begin}; runpy.run_module('glasscan', None, '__main__')"
    ran = subprocess.run(
        [sys.executable, "-I", "-c", inside, *words], capture_output=True, text=True, cwd=folder, check=False
    )
    return Done(ran.returncode, ran.stdout, ran.stderr)


def _as_usual(words: tuple[str, ...], done: Done, folder: Path, what: str) -> str:
    if harm := done.harm((0,)):
        return f"{what}, {words[0]}: {harm}"
    return "" if done.out == plain(words, folder) else f"{what}, {words[0]}: says something else"


class DeadDisplay(Attack):
    """A display that the environment names and nobody answers at: one line, soon."""

    name, about, usual = "dead-display", "DISPLAY or WAYLAND_DISPLAY of nobody", 4

    def once(self, number: int, folder: Path) -> str:
        """The window, or the case in the window."""
        name = ("DISPLAY", "WAYLAND_DISPLAY")[number % 2]
        words = ((), ("case",))[number // 2 % 2]
        env = {name: ":987" if name == "DISPLAY" else "nobody", "SDL_VIDEODRIVER": ""}
        return glasscan(folder, *words, env=env, longest_s=SOON_S).harm()


class Fifo(Attack):
    """A pipe with nobody at its other end where a file belongs: refused in one line, soon."""

    name, about, usual = "fifo", "a FIFO as lesson, paper, results, case", 6

    def once(self, number: int, folder: Path) -> str:
        """One place for a file."""
        os.mkfifo(folder / "pipe.yaml")
        places = (
            ("check", "pipe.yaml"),
            ("run", "pipe.yaml", "--for", "1"),
            ("exam", "sit", "pipe.yaml", "--who", "Wen"),
            ("exam", "mark", str(paper()), "pipe.yaml", "--out", "marked"),
            ("class", "pipe.yaml", "--out", "class"),
            ("case", "--resume", "pipe.yaml", "--text"),
        )
        words = places[number % len(places)]
        return glasscan(folder, *words, longest_s=SOON_S).harm((2,))
