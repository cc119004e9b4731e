"""What went wrong in the window, kept for whoever reports it: where, never what somebody has typed."""

from __future__ import annotations

import logging
import traceback
from functools import cache
from logging.handlers import RotatingFileHandler
from pathlib import Path

from glasscan.paths import log_folder

LARGEST_BYTES, KEPT = 64_000, 2


def log_path() -> Path:
    """The file of the log."""
    return log_folder() / "window.log"


@cache
def _logger(path: Path) -> logging.Logger:
    logger = logging.Logger("glasscan.window")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handler = RotatingFileHandler(path, maxBytes=LARGEST_BYTES, backupCount=KEPT, encoding="utf-8")
    except OSError:
        return logger
    handler.setFormatter(logging.Formatter("%(asctime)s %(message)s"))
    logger.addHandler(handler)
    return logger


def told(fault: BaseException) -> str:
    """Write a fault into the log and put it into one line for the first screen.

    The log holds the kind of the fault and the places in the program, not its message: a message may hold
    an answer or a name.
    """
    path = log_path()
    places = "".join(traceback.format_tb(fault.__traceback__))
    _logger(path).error("%s\n%s", type(fault).__name__, places)
    return (
        f"A fault of Glasscan ended that page ({type(fault).__name__}). Where it happened stands in {path}."
    )
