"""`glasscan about | where | completion | man`: versions, places, completion for a shell, the manual page."""

from __future__ import annotations

import argparse
import json
import platform
from importlib.metadata import PackageNotFoundError, version
from typing import Any

import glasscan
from glasscan.cli.arguments import Verbs, add_verb
from glasscan.content import BadInput

LIBRARIES = (
    "numpy",
    "scipy",
    "pygame-ce",
    "pymunk",
    "PyYAML",
    "pydantic",
    "platformdirs",
    "cryptography",
    "pillow",
)
SHELLS = ("bash", "zsh", "tcsh")


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    about = add_verb(verbs, "about", run_about, "tell the versions that a report of a fault needs")
    about.add_argument("--json", action="store_true", help="print one JSON object")
    where = add_verb(verbs, "where", run_where, "tell where everything is kept")
    where.add_argument("--json", action="store_true", help="print one JSON object")
    completion = add_verb(verbs, "completion", run_completion, "print the completion for a shell")
    completion.add_argument("shell", metavar="SHELL", choices=SHELLS, help=", ".join(SHELLS))
    add_verb(verbs, "man", run_man, "print the manual page")


def versions() -> dict[str, str]:
    """The program, Python, the system and every library it stands on."""
    found = {
        "glasscan": glasscan.__version__,
        "python": platform.python_version(),
        "system": platform.platform(),
    }
    for name in LIBRARIES:
        try:
            found[name] = version(name)
        except PackageNotFoundError:
            found[name] = "not installed"
    import pygame

    found["SDL"] = ".".join(str(part) for part in pygame.get_sdl_version())
    return found


def places() -> dict[str, str]:
    """Every folder and file that is kept, by what it holds."""
    from glasscan import paths
    from glasscan.learning.store.connection import store_path

    own = paths.own_folder()
    return {
        "results": str(store_path()),
        "cases": str(own / "cases"),
        "papers": str(own / "papers"),
        "instructor's key": str(own / "instructor-key.json"),
        "own lessons and data": str(own / "content"),
        "nickname and last place": str(paths.state_folder()),
        "pictures and hand-ins": str(paths.documents_folder()),
        "log": str(paths.log_folder()),
        "worked out again when missing": str(paths.cache_folder()),
    }


def run_where(args: argparse.Namespace) -> int:
    """Print the places."""
    found = places()
    print(json.dumps(found) if args.json else "\n".join(f"{name}: {path}" for name, path in found.items()))
    return 0


def run_about(args: argparse.Namespace) -> int:
    """Print the versions."""
    found = versions()
    if args.json:
        print(json.dumps(found))
    else:
        wide = max(map(len, found))
        print("\n".join(f"{name.ljust(wide)}  {text}" for name, text in found.items()))
    return 0


def run_completion(args: argparse.Namespace) -> int:
    """Print the completion script."""
    shtab = _library("shtab")
    print(shtab.complete(args.whole, args.shell))
    return 0


def run_man(args: argparse.Namespace) -> int:
    """Print the manual page in roff."""
    page = _library("argparse_manpage.manpage")
    parser = args.whole
    parser._manpage = []  # what the library looks for on every parser
    print(page.Manpage(parser, format="pretty"))
    return 0


def _library(name: str) -> Any:
    """A library of the extra `shell`.

    Raises:
        BadInput: it is not installed.
    """
    from importlib import import_module

    try:
        return import_module(name)
    except ImportError:
        raise BadInput(
            [f"glasscan: this needs '{name.partition('.')[0]}': pip install 'glasscan[shell]'"]
        ) from None
