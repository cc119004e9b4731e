"""`glasscan new lesson NAME`: write a commented lesson to start from."""

from __future__ import annotations

import argparse
import re
from pathlib import Path

from glasscan.cli.arguments import Verbs, add_verb
from glasscan.cli.outputs import cannot_write, ready
from glasscan.content import BadInput
from glasscan.paths import asset

NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
LONGEST = 60


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "new", run, "write a commented lesson file to start from")
    parser.add_argument("what", metavar="WHAT", choices=["lesson"], help="lesson")
    parser.add_argument("name", metavar="NAME", help="id of the lesson, such as my-cold-start")
    parser.add_argument("--out", type=Path, default=Path(), metavar="DIR", help="folder (default: this one)")


def run(args: argparse.Namespace) -> int:
    """Write the file and tell its path."""
    print(write_lesson(args.name, args.out))
    return 0


def write_lesson(name: str, folder: Path) -> Path:
    """Write a starter; an existing file is never touched.

    Args:
        name: id of the lesson; `.yaml` at its end is taken as meant.
        folder: where; made where it is missing.

    Returns:
        The path written.

    Raises:
        BadInput: the name is no id, the file exists, or it cannot be written.
    """
    word = name.removesuffix(".yaml")
    if not NAME.fullmatch(word) or len(word) > LONGEST:
        said = f"expected small letters, digits and hyphens, such as 'my-cold-start', found '{word[:40]}'"
        raise BadInput([f"glasscan new lesson: {said}"])
    text = asset("workshop", "lesson-starter.yaml").read_text(encoding="utf-8").replace("@NAME@", word)
    path = folder / f"{word}.yaml"
    ready(folder)
    try:
        with path.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
    except FileExistsError:
        raise BadInput([f"{path}: exists already; it is left as it is"]) from None
    except OSError as error:
        raise cannot_write(path, error) from None
    return path
