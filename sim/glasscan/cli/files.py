"""Files that verbs leave behind: whole or not at all."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

from glasscan import files
from glasscan.cli.outputs import cannot_write
from glasscan.content import BadInput

if TYPE_CHECKING:
    from glasscan.cli.arguments import Parser


def add_data_dir(parser: Parser) -> None:
    """The argument that names the folder of the results store."""
    parser.add_argument(
        "--data-dir",
        type=Path,
        metavar="DIR",
        help="folder of the results store (else your own data folder)",
    )


def store_folder(data_dir: Path | None) -> Path:
    """The data folder: the one named, else the user's own."""
    from glasscan.paths import own_folder

    return data_dir or own_folder()


def add_force(parser: Parser) -> None:
    """The argument that lets a verb replace what is there."""
    parser.add_argument("--force", action="store_true", help="replace files that are there already")


def not_over(path: Path, force: bool) -> None:
    """Refuse to write over a file.

    Raises:
        BadInput: it is there, and nobody said `--force`.
    """
    if not force and path.is_file():
        raise BadInput([f"{path}: is there already; choose another name, or --force to replace it"])


def write_whole(path: Path, text: str) -> Path:
    """Write a text file; a crash leaves the old one or the new one, never half of it.

    Raises:
        BadInput: it cannot be written.
    """
    try:
        return files.write_whole(path, text)
    except (OSError, ValueError) as error:
        raise cannot_write(path, error) from None


def file_stem(text: str) -> str:
    """A text as the stem of a file name that every system takes."""
    plain = re.sub(r"[^a-z0-9]+", "-", text.casefold()).strip("-")
    return plain[:60] or "x"
