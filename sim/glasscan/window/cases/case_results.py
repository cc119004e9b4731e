"""A case that is over goes into the results store, under the nickname of the one at the screen.

Right after the verdict it is entered by itself where a nickname is remembered. A case looked at again later
is only entered when asked, so that what somebody has deleted does not come back by a look.
"""

from __future__ import annotations

from dataclasses import dataclass

from glasscan.learning.cases.enter_result import enter
from glasscan.learning.store.import_sitting import owner
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.window.cases.debrief_data import DebriefData
from glasscan.window.navigator import Navigator
from glasscan.window.study import user_prefs
from glasscan.window.study.nickname_page import WhoPage


@dataclass(frozen=True)
class Entered:
    """Where a case stands in the results.

    Attributes:
        words: one sentence for the page.
        open: it can still be entered.
    """

    words: str
    open: bool = False


NOWHERE = Entered("Not entered in anybody's results.", open=True)
COPY = Entered("Played again, with the fault known: not entered in the results.")


def in_results_of(nickname: str) -> Entered:
    """It stands in somebody's results."""
    return Entered(f"Entered in the results of {nickname}.")


def look(told: DebriefData) -> Entered:
    """Whether a case is entered, and whose it is; nothing is changed."""
    if told.case.replayed:
        return COPY
    if not user_prefs.store_file().is_file():
        return NOWHERE
    try:
        with Store(user_prefs.store_file()) as store:
            found = owner(store, told.case.salt)
    except StoreProblem as problem:
        return Entered(f"Not entered: {problem}", open=True)
    return in_results_of(found) if found else NOWHERE


def at_the_end(told: DebriefData) -> Entered:
    """Enter a case whose verdict was given just now, where somebody is remembered at this screen."""
    nickname = user_prefs.load().nickname
    return under(nickname, told) if nickname and not told.case.replayed else look(told)


def under(nickname: str, told: DebriefData) -> Entered:
    """Enter a case in somebody's results; where it stands already it stays."""
    try:
        with Store(user_prefs.store_file()) as store:
            enter(store, nickname, told.case, told.debrief.review)
            found = owner(store, told.case.salt)
    except StoreProblem as problem:
        return Entered(f"Not entered: {problem}", open=True)
    return in_results_of(found) if found else COPY


def by_name(front: Navigator, told: DebriefData) -> tuple[bool, Entered]:
    """Ask who it was and enter it; False where the window was closed."""
    names: list[str] = []
    try:
        with Store(user_prefs.store_file()) as store:
            rows = store.rows("SELECT nickname FROM people WHERE origin = '' ORDER BY nickname")
            names = [str(row["nickname"]) for row in rows]
    except StoreProblem as problem:
        return True, Entered(f"Not entered: {problem}", open=True)
    page = WhoPage(front.desk, names)
    if not front.show(page):
        return False, NOWHERE
    if not page.chosen:
        return True, NOWHERE
    user_prefs.change(nickname=page.chosen)
    return True, under(page.chosen, told)
