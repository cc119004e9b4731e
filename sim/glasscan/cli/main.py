"""The command `glasscan`: finds the verb, runs it, and turns every failure into one line and an exit code.

Exit codes: 0 fine, 2 bad input, 1 a fault of ours, 130 stopped from the keyboard.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TextIO, cast

import glasscan
from glasscan.cli import (
    bench,
    case,
    catalogue,
    check,
    classroom,
    exam,
    figure,
    inspect,
    job,
    new,
    printing,
    program,
    results,
    run,
    schema,
    shot,
    study,
    window,
)
from glasscan.cli.arguments import Parser
from glasscan.content import BadInput, nearest
from glasscan.paths import DATA_DIR

FINE, FAULT, BAD_INPUT, STOPPED = 0, 1, 2, 130
TRACEBACK = "GLASSCAN_TRACEBACK"
LONGEST_LINE, HEAD = 1000, 300  # letters of a message; a longer one loses its middle
_OUTSIDE = "ENOSPC EDQUOT EROFS EACCES EPERM ENAMETOOLONG EIO EFBIG ELOOP EMFILE ENODEV"
OUTSIDE = {number for number, name in errno.errorcode.items() if name in _OUTSIDE}
"""Troubles of the disk and of the names given: nothing that the program could know beforehand."""
DATA_DIR_WORD = "--data-dir"
VERBS = (
    window,
    run,
    check,
    catalogue,
    new,
    shot,
    figure,
    schema,
    study,
    exam,
    classroom,
    results,
    case,
    inspect,
    job,
    bench,
    printing,
    program,
)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        argv: words after the command's name; None takes them from the process.

    Returns:
        The exit code.
    """
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")  # its greeting would stand in the JSON
    _open_streams()
    for stream in (sys.stdout, sys.stderr):
        _never_fail_on_letters(stream)
    words = list(sys.argv[1:] if argv is None else argv)
    before = os.environ.get(DATA_DIR)
    try:
        return _guarded(lambda: _dispatch(words))
    finally:
        os.environ.pop(DATA_DIR, None)
        if before is not None:
            os.environ[DATA_DIR] = before


def _dispatch(words: list[str]) -> int:
    parser, names = parser_of()
    _readable(words)
    words = _own_folder(words)
    if not words:
        return window.open_default()
    if not words[0].startswith("-") and words[0] not in names:
        near = nearest(words[0], names)
        meant = f" (did you mean {near!r}?)" if near else ""
        raise BadInput([f"glasscan: expected one of {', '.join(names)}, found '{words[0][:40]}'{meant}"])
    args = parser.parse(words)
    code: int = args.run(args)
    sys.stdout.flush()
    return code


def _readable(words: list[str]) -> None:
    """Refuse bytes that are no letters: no file, nickname or key can be called so in a message or a store."""
    for word in words:
        if "\0" in word or any("\ud800" <= letter <= "\udfff" for letter in word):
            raise BadInput([f"glasscan: expected words in readable letters, found '{word[:40]}'"])


def _own_folder(words: list[str]) -> list[str]:
    """Words without `--data-dir DIR`, which holds wherever it stands: for the window, every verb and helper.

    Raises:
        BadInput: no folder is named after it, or a file stands there.
    """
    places = [i for i, word in enumerate(words) if word.partition("=")[0] == DATA_DIR_WORD]
    if not places:
        return words
    at = places[-1]
    joined = "=" in words[at]
    named = words[at].partition("=")[2] if joined else words[at + 1] if len(words) > at + 1 else ""
    if not named or Path(named).is_file():
        raise BadInput([f"glasscan: {DATA_DIR_WORD}: expected a folder, found '{named[:80]}'"])
    os.environ[DATA_DIR] = str(Path(named).resolve())
    return _own_folder_kept(words[:at] + words[at + (1 if joined else 2) :])


def _own_folder_kept(words: list[str]) -> list[str]:
    """The rest of the line, where the folder is named twice; the last one holds."""
    while places := [i for i, word in enumerate(words) if word.partition("=")[0] == DATA_DIR_WORD]:
        at = places[0]
        words = words[:at] + words[at + (1 if "=" in words[at] else 2) :]
    return words


def parser_of() -> tuple[Parser, list[str]]:
    """The parser of the whole command line, and the verbs it knows."""
    about = (
        "A teaching simulator of what happens inside oil and hydraulic filters. Without a verb: the window."
    )
    parser = Parser(prog="glasscan", description=about, allow_abbrev=False)
    parser.add_argument("-V", "--version", action="version", version=f"glasscan {glasscan.__version__}")
    parser.add_argument(
        DATA_DIR_WORD, metavar="DIR", help="one folder for all that is kept (anywhere in the line)"
    )
    verbs = parser.add_subparsers(metavar="VERB", required=True, parser_class=Parser)
    for verb in VERBS:
        verb.add(verbs)
    parser.set_defaults(whole=parser)
    return parser, list(verbs.choices)


def _guarded(work: Callable[[], int]) -> int:
    try:
        return work()
    except BadInput as bad:
        for line in bad.lines:
            _tell(line)
        return BAD_INPUT
    except KeyboardInterrupt:
        _tell("stopped")
        return STOPPED
    except BrokenPipeError:
        return _reader_gone()
    except OSError as error:
        return _outside(error) if error.errno in OUTSIDE else _fault(error)
    except Exception as error:
        return _fault(error)


def _outside(error: OSError) -> int:
    """A full or locked disk, a name that no file can have."""
    if error.filename is None:
        _reader_gone()  # what is still in the buffer cannot be written either
    _tell(f"{error.filename or 'writing'}: {error.strerror}")
    return BAD_INPUT


def _fault(error: Exception) -> int:
    if os.environ.get(TRACEBACK):
        raise error
    told = " ".join(str(error).split())[:200]
    _tell(f"a fault of ours: {type(error).__name__}: {told} ({TRACEBACK}=1 in the environment shows where)")
    return FAULT


def _reader_gone() -> int:
    """The program behind a pipe has closed it: nothing more to say, and not a fault."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return FINE


def _tell(line: str) -> None:
    """One line, whatever stands in it: a file may be called anything."""
    text = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in line)
    if len(text) > LONGEST_LINE:
        text = f"{text[:HEAD]} ... {text[HEAD - LONGEST_LINE :]}"
    try:
        print(text, file=sys.stderr)
    except OSError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stderr.fileno())


def _open_streams() -> None:
    """A stream that the caller has closed reads nothing and swallows what it is given."""
    sys.stdin = sys.stdin or _nothing("r")
    sys.stdout = sys.stdout or _nothing("w")
    sys.stderr = sys.stderr or _nothing("w")


def _nothing(mode: str) -> TextIO:
    return cast("TextIO", Path(os.devnull).open(mode, encoding="utf-8"))


def _never_fail_on_letters(stream: TextIO) -> None:
    """A terminal without the letters of the trade shows a substitute."""
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure:
        reconfigure(errors="backslashreplace")


if __name__ == "__main__":
    raise SystemExit(main())
