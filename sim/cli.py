"""The command `glasscan`: finds the verb, runs it, and turns every failure into one line and an exit code.

Exit codes: 0 fine, 2 bad input, 1 a fault of ours, 130 stopped from the keyboard.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TextIO

import sim
from sim.commands import (
    bench,
    case,
    check,
    classroom,
    exam,
    figure,
    inspect,
    job,
    new,
    results,
    run,
    schema,
    shot,
    study,
    window,
)
from sim.commands.arguments import Parser
from sim.loading import BadInput, nearest
from sim.resources import DATA_DIR

FINE, FAULT, BAD_INPUT, STOPPED = 0, 1, 2, 130
TRACEBACK = "GLASSCAN_TRACEBACK"
DATA_DIR_WORD = "--data-dir"
VERBS = (
    window,
    run,
    check,
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
)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command.

    Args:
        argv: words after the command's name; None takes them from the process.

    Returns:
        The exit code.
    """
    os.environ.setdefault("PYGAME_HIDE_SUPPORT_PROMPT", "1")  # its greeting would stand in the JSON
    for stream in (sys.stdout, sys.stderr):
        _never_fail_on_letters(stream)
    words = list(sys.argv[1:] if argv is None else argv)
    return _guarded(lambda: _dispatch(words))


def _dispatch(words: list[str]) -> int:
    parser, names = _parser()
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


def _own_folder(words: list[str]) -> list[str]:
    """Words without a leading `--data-dir DIR`, which then holds for the window and every verb.

    Raises:
        BadInput: no folder is named after it, or a file stands there.
    """
    if not words or words[0].partition("=")[0] != DATA_DIR_WORD:
        return words
    joined = "=" in words[0]
    named = words[0].partition("=")[2] if joined else words[1] if len(words) > 1 else ""
    if not named or Path(named).is_file():
        raise BadInput([f"glasscan: {DATA_DIR_WORD}: expected a folder, found '{named[:80]}'"])
    os.environ[DATA_DIR] = str(Path(named).resolve())
    return words[1:] if joined else words[2:]


def _parser() -> tuple[Parser, list[str]]:
    about = (
        "A teaching simulator of what happens inside oil and hydraulic filters. Without a verb: the window."
    )
    parser = Parser(prog="glasscan", description=about, allow_abbrev=False)
    parser.add_argument("--version", action="version", version=f"glasscan {sim.__version__}")
    parser.add_argument(
        DATA_DIR_WORD, metavar="DIR", help="folder of results and cases (else your own data folder)"
    )
    verbs = parser.add_subparsers(metavar="VERB", required=True, parser_class=Parser)
    for verb in VERBS:
        verb.add(verbs)
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
    except Exception as error:
        return _fault(error)


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
    try:
        print(line, file=sys.stderr)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stderr.fileno())


def _never_fail_on_letters(stream: TextIO) -> None:
    """A terminal without the letters of the trade shows a substitute."""
    reconfigure = getattr(stream, "reconfigure", None)
    if reconfigure:
        reconfigure(errors="backslashreplace")


if __name__ == "__main__":
    raise SystemExit(main())
