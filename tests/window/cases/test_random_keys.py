"""Keys and clicks at random on the pages of a case: no crash, and what lies on disk can be read back."""

import random

import pygame
import pytest
from glasscan.learning.cases.case_files import read
from glasscan.learning.cases.case_play import Case
from glasscan.ui.view_options import ViewOptions
from glasscan.window.cases.case_page import CasePage
from glasscan.window.cases.case_session import CaseSession
from glasscan.window.cases.debrief_data import gather
from glasscan.window.cases.debrief_page import DebriefPage

from tests.window.cases.conftest import key, silent

KEYS = [
    *((ord(mark), mark) for mark in "12345670gnktu?+-abw "),
    *((code, "") for code in (pygame.K_UP, pygame.K_DOWN, pygame.K_PAGEDOWN)),
    (pygame.K_TAB, ""), (pygame.K_BACKSPACE, ""),
    (pygame.K_RETURN, "\r"), (pygame.K_RETURN, "\r"), (pygame.K_RETURN, "\r"),
]  # fmt: skip
SIZE = (1280, 720)


def pressed(chance):
    """A random key or click."""
    if chance.random() < 0.15:
        at = chance.randrange(SIZE[0]), chance.randrange(SIZE[1])
        return pygame.event.Event(pygame.MOUSEBUTTONDOWN, button=chance.choice((1, 1, 4, 5)), pos=at)
    return key(*chance.choice(KEYS))


@pytest.mark.parametrize("number", range(4))
def test_random_keys_break_nothing(runnable, real_can, tmp_path, number):
    """A case played by chance to its end, or for 250 events; then its review, by chance too."""
    chance = random.Random(number)
    path = tmp_path / "case.json"
    case = Case.begin(runnable[number % 3], "can", 1 + number % 3)
    page = CasePage(ViewOptions(), CaseSession(case, path), real_can)
    surface = pygame.Surface(SIZE)
    page.draw(surface)
    page.work.keep()
    for _ in range(250):
        if page.leave:
            break
        page.handle(pressed(chance))
        page.draw(surface)
    assert read(path) == case
    if not case.ended:
        case.decide("cannot-tell")
    review = DebriefPage(ViewOptions(), gather(case, silent), real_can)
    for _ in range(60):
        review.draw(surface)
        review.handle(pressed(chance))
        review.leave = False
