"""A piece of work in a process of its own, so that no frame of the window waits for it.

The window polls; it never blocks. The process ends with the work, on `stop`, and when the window's own
process has gone.
"""

from __future__ import annotations

import atexit
import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any, Protocol

GENTLE = 10  # niceness of the work: the window comes first
PATIENCE_S = 2.0  # from asking a process to end until it is made to


class Tell(Protocol):
    """What the work says on its way."""

    def __call__(self, share: float, piece: Any = None, /) -> None:
        """How far it is, 0..1, and a piece of the result that is ready to be used."""


class WorkerProcess:
    """Runs `work(*args, tell)` in another process; `tell(share, piece)` says how far it is.

    Attributes:
        share: how much is done, 0..1.
        pieces: what the work has handed over on its way.
        result: what the work returned, once `done`.
        done: the result is there.
        trouble: one line on why there will be none; empty otherwise.

    Args:
        work: a function of a module (it is found by name in the other process).
        args: what it gets; everything must pickle.
    """

    def __init__(self, work: Callable[..., Any], *args: Any) -> None:
        self.share, self.trouble, self.done = 0.0, "", False
        self.result: Any = None
        self.pieces: list[Any] = []
        self._work, self._args = work, args
        self._process: multiprocessing.process.BaseProcess | None = None
        self._ear: Connection | None = None

    @property
    def busy(self) -> bool:
        """True while the work is under way."""
        return self._process is not None

    def start(self) -> None:
        """Begin, or begin again after trouble."""
        if self.busy or self.done:
            return
        self.share, self.trouble = 0.0, ""
        context = multiprocessing.get_context("spawn")
        self._ear, mouth = context.Pipe(duplex=False)
        process = context.Process(target=_labour, args=(mouth, self._work, self._args), daemon=True)
        try:
            process.start()
        except OSError as error:
            self.trouble = f"no process could be started: {error}"
            return
        finally:
            mouth.close()
        self._process = process
        atexit.register(self.stop)

    def poll(self) -> None:
        """Read what the work has said so far; never waits."""
        while self._ear is not None and self._ear.poll():
            try:
                word, value = self._ear.recv()
            except (EOFError, OSError):
                self._settle(trouble="the work stopped without an answer")
                return
            if word == "share":
                self.share = float(value)
            elif word == "piece":
                self.pieces.append(value)
            elif word == "result":
                self._settle(result=value)
            else:
                self._settle(trouble=str(value))

    def stop(self) -> None:
        """End the work now; nothing is left behind."""
        process, self._process = self._process, None
        if process is not None:
            process.terminate()
            process.join(PATIENCE_S)
            if process.is_alive():
                process.kill()
                process.join(PATIENCE_S)
            process.close()
            atexit.unregister(self.stop)
        if self._ear is not None:
            self._ear.close()
            self._ear = None

    def _settle(self, result: Any = None, trouble: str = "") -> None:
        self.result, self.trouble, self.done = result, trouble, not trouble
        self.share = 1.0 if self.done else self.share
        self.stop()


def _labour(mouth: Connection, work: Callable[..., Any], args: tuple[Any, ...]) -> None:
    """The other process: do the work and say one result or one line of trouble."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the window decides
    threading.Thread(target=_leave_with_parent, daemon=True).start()
    with contextlib.suppress(AttributeError, OSError):
        os.nice(GENTLE)

    def tell(share: float, piece: Any = None) -> None:
        if piece is not None:
            mouth.send(("piece", piece))
        mouth.send(("share", share))

    try:
        mouth.send(("result", work(*args, tell)))
    except Exception as error:
        told = " ".join(str(error).split())[:200]
        mouth.send(("trouble", f"{type(error).__name__}: {told}"))


def _leave_with_parent() -> None:
    """Wait for the window's process to end, and end with it."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
