"""Work for a helper's process."""

import os
import time
from pathlib import Path


def double(number, tell):
    """Twice a number, and the process that worked."""
    tell(0.5)
    return 2 * number, os.getpid()


def double_text(text, tell):
    """Twice a text."""
    tell(0.5)
    return 2 * text


def fail(number, tell):
    """Fail over two lines."""
    del number, tell
    raise ValueError("no such\noil")


def vanish(number, tell):
    """Die without a word."""
    del number, tell
    os._exit(5)


def sleep_long(number, tell):
    """Take long."""
    del number, tell
    time.sleep(300)


def note_and_sleep(path, tell):
    """Write the number of the process, then take long."""
    del tell
    Path(path).write_text(str(os.getpid()))
    time.sleep(300)
