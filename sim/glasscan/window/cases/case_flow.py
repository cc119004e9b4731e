"""The way through the pages: start, case, unsafe end, what is told, the rig running, again."""

from __future__ import annotations

import math
import threading
from dataclasses import dataclass
from functools import lru_cache, partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import pygame

from glasscan.content import BadInput
from glasscan.learning.cases.atlas import FILTERS
from glasscan.learning.cases.case_files import read
from glasscan.learning.cases.case_play import Case
from glasscan.ui.progress_task import ReportProgress
from glasscan.window.cases import case_store
from glasscan.window.cases.case_page import CasePage
from glasscan.window.cases.case_results import at_the_end, by_name, look
from glasscan.window.cases.case_session import CaseSession, cut
from glasscan.window.cases.debrief_data import DebriefData, gather, mended
from glasscan.window.cases.debrief_page import DebriefPage
from glasscan.window.cases.run_view import live
from glasscan.window.cases.start_page import Chosen, StartPage
from glasscan.window.cases.unsafe_page import UnsafePage
from glasscan.window.navigator import Navigator

if TYPE_CHECKING:
    from glasscan.filters.section import Section
    from glasscan.window import contract

FIRST_TIME_S = 9.0  # about what working out the faults of a filter takes, once
TICK_S = 0.1
ONCE = "Working out the faults of this filter, once for all cases"


@dataclass(frozen=True)
class Ready:
    """A case set up: itself, where it is kept, and its filter solved."""

    case: Case
    path: Path
    section: Any


def take(front: Navigator) -> bool:
    """The start page and all that follows, until it is left; False where the window was closed."""
    pygame.display.set_caption("Glasscan: find the hidden fault")
    trouble = ""
    last: Chosen | None = None
    while True:
        page = StartPage(front.desk, case_store.found(), last, trouble)
        try:
            on = front.show(page)
        finally:
            page.close()
        if not on or page.chosen is None:
            return on
        trouble, last = "", page.chosen
        try:
            if not play(front, page.chosen):
                return False
        except BadInput as bad:
            trouble = bad.lines[0]


def play(front: Navigator, chosen: Chosen) -> bool:
    """One case from setting it up to leaving it; False where the window was closed.

    Raises:
        BadInput: its file is damaged, or its number gives another case now.
    """
    ready = front.behind_bar(f"Case {chosen.seed}", partial(set_up, chosen))
    if ready is None:
        return False
    while ready is not None:
        on, ready = _sit(front, ready)
        if not on:
            return False
    return True


def set_up(chosen: Chosen, tell: ReportProgress) -> Ready:
    """Make or read a case and solve its filter; seconds, so behind a bar.

    Raises:
        BadInput: the file is no case, or another one now.
    """
    with _Ticking(tell):
        if chosen.path is not None:
            case, path = read(chosen.path), chosen.path
        else:
            case = Case.begin(chosen.seed, chosen.kind, chosen.level)
            path = case_store.fresh(case.seed, case.kind, case.level)
    tell(0.85, "Drawing the filter")
    return Ready(case, path, section_of(case.kind))


class _Ticking:
    """Moves the bar while work goes on that cannot say how far it is: slower the longer it takes."""

    def __init__(self, tell: ReportProgress) -> None:
        self._tell, self._over = tell, threading.Event()
        self._thread = threading.Thread(target=self._run, daemon=True)

    def _run(self) -> None:
        t_s = 0.0
        while not self._over.wait(TICK_S):
            t_s += TICK_S
            self._tell(
                0.8 * (1.0 - math.exp(-2.0 * t_s / FIRST_TIME_S)), ONCE if t_s > 1.0 else "Setting it up"
            )

    def __enter__(self) -> None:
        self._thread.start()

    def __exit__(self, *_: object) -> None:
        self._over.set()
        self._thread.join()


@lru_cache(maxsize=3)
def section_of(kind: str) -> Section:
    """The filter of a kind, solved once."""
    from glasscan.filters.build import build
    from glasscan.filters.filter_data import FilterData
    from glasscan.learning.catalogue import load_filter

    return build(FilterData(load_filter(FILTERS[kind])))


def _sit(front: Navigator, ready: Ready) -> tuple[bool, Ready | None]:
    """The case, then what is told; False where the window was closed, and the case to go on with, if any."""
    drawn = cast("contract.Section", ready.section)
    just_now = not ready.case.ended
    if just_now:
        page = CasePage(front.desk, CaseSession(ready.case, ready.path, fresh=not ready.path.exists()), drawn)
        page.work.keep()
        if not front.show(page):
            return False, None
        if not ready.case.ended:
            return True, None
        if ready.case.unsafe and not front.show(UnsafePage(front.desk, ready.case)):
            return False, None
    told = front.behind_bar("What it was", partial(gather, ready.case))
    return (False, None) if told is None else _tell(front, ready, told, just_now)


def _tell(front: Navigator, ready: Ready, told: DebriefData, just_now: bool) -> tuple[bool, Ready | None]:
    """What is told after the verdict, with the rig running in between."""
    entered = at_the_end(told) if just_now else look(told)
    page = DebriefPage(front.desk, told, cast("contract.Section", ready.section), ready.path.name, entered)
    while True:
        if not front.show(page):
            return False, None
        wanted, page.wanted, page.leave = page.wanted, "", False
        if wanted == "again":
            copy = cut(ready.case, page.entry)
            return True, Ready(copy, case_store.fresh(copy.seed, copy.kind, copy.level), ready.section)
        if wanted == "mend":
            work = partial(mended, told, float(page.mending.wanted_s))
            again = front.behind_bar(f"The same run, mended at {page.mending.wanted_s} s", work)
            if again is None:
                return False, None
            told = page.told = again
            page.mending.shown_s = page.mending.wanted_s
            continue
        if wanted == "enter":
            on, page.entered = by_name(front, told)
            if not on:
                return False, None
            continue
        if wanted not in ("cold", "hot"):
            return True, None
        if not front.show(live(told, ready.section, front.desk, wanted == "hot")):
            return False, None
