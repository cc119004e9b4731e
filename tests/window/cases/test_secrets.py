"""Nothing that the trainee sees, and nothing on disk, tells the fault before the verdict."""

from pathlib import Path
from types import SimpleNamespace

import pygame
import pytest
from glasscan.faults.fault_data import parts_of
from glasscan.learning.cases.case_play import Case, RefusedError, hidden_of
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import load_theme
from glasscan.ui.view_options import ViewOptions
from glasscan.window.cases import case_page
from glasscan.window.cases.case_page import CasePage
from glasscan.window.cases.case_session import CaseSession
from glasscan.window.cases.closed_filter import Outside
from glasscan.window.cases.debrief_data import gather

from tests.window.cases.conftest import Hands, order, silent


def words_of(seed):
    """Code, words and titles of what is wrong."""
    code = hidden_of(seed, "can").code
    return [code, *(text for fault in parts_of(code) for text in (fault.word, fault.title, fault.mechanism))]


def walk(page):
    """Hands that have been through the pages of a case without naming the fault that is there."""
    hands = Hands(page, (1920, 1080))
    other = next(code for code in page.work.case.suspects if code != page.work.case.hidden.code)
    order(hands, "read-log", other)
    hands.press("1")
    order(hands, "pressure-pattern", other)
    hands.press("n", "n", "?", "?", "2", "u", "u", "u")
    return hands


@pytest.mark.parametrize("which", range(3))
def test_no_page_but_the_list_of_suspects_names_it(runnable, real_can, tmp_path, which):
    """Menu, findings, complaint, help sheet, number and the file, for three faults."""
    seed = runnable[which]
    page = CasePage(ViewOptions(), CaseSession(Case.begin(seed, "can", 2), tmp_path / "case.json"), real_can)
    hands = Hands(page, (1920, 1080))
    listed = {text for row in suspects_shown(hands) for text in row}
    hands = walk(page)
    told = [text for text in hands.texts if text not in listed]
    on_disk = (tmp_path / "case.json").read_text(encoding="utf-8")
    for word in words_of(seed):
        assert not [text for text in told if word in text.replace("\n", " ")]
        assert word not in on_disk
    assert str(hidden_of(seed, "can").severity) not in on_disk


def suspects_shown(hands):
    """The list of suspects as drawn, row by row from top to foot."""
    hands.press("5")
    rows = []
    for _ in hands.page.work.case.suspects:
        pane = hands.page._places.pane
        rows.append(tuple(t.text for t in hands.look().texts if pane.contains(t.drawn)))
        hands.press("down")
    hands.press("4")
    return rows


def test_the_lists_are_the_same_whatever_is_hidden(runnable, real_can):
    """Suspects and menu read the same for two faults: their order and wording give nothing away."""
    shown = []
    for seed in runnable[:2]:
        hands = Hands(
            CasePage(ViewOptions(), CaseSession(Case.begin(seed, "can", 2)), real_can), (1920, 1080)
        )
        pane = hands.page._places.pane
        menu = [t.text for t in hands.look().texts if pane.contains(t.drawn)]
        shown.append((menu, suspects_shown(hands)))
    assert hidden_of(runnable[0], "can").code != hidden_of(runnable[1], "can").code
    assert shown[0] == shown[1]


def test_the_picture_is_the_same_whatever_is_hidden(runnable, real_can):
    """Shut and open, the filter of two cases is the same to the pixel, and shut it shows nothing inside."""
    pictures = []
    for seed in runnable[:2]:
        page = CasePage(ViewOptions(), CaseSession(Case.begin(seed, "can", 2)), real_can)
        surface = pygame.Surface((1280, 720))
        page.draw(surface)
        pictures.append(pygame.surfarray.array3d(surface.subsurface(page._places.picture)))
    assert (pictures[0] == pictures[1]).all()


def test_shut_means_shut(real_can):
    """The picture of the shut filter stays the same when everything inside is taken out; open it does not."""
    outer = [part for part in real_can.parts if part.key in ("shell", "base", "seal")]
    hollow = SimpleNamespace(parts=outer, layout=real_can.layout)
    seen = {}
    for name, section in (("whole", real_can), ("hollow", hollow)):
        for is_open in (False, True):
            surface = pygame.Surface((500, 700))
            outside = Outside(section, False)
            outside.draw(Canvas(surface, load_theme("dark")), surface.get_rect(), is_open, False)
            seen[name, is_open] = pygame.surfarray.array3d(surface)
    assert (seen["whole", False] == seen["hollow", False]).all()
    bare = (seen["whole", False] == 0).all(axis=2).mean()
    assert bare < (seen["whole", True] == 0).all(axis=2).mean() - 0.1, "metal covers what lies inside"
    assert (seen["whole", True] != seen["hollow", True]).any()


def test_the_filter_opens_with_the_test_that_opens_it(case, real_can):
    """Bench and papers leave it shut; cut open it shows its parts."""
    page = CasePage(ViewOptions(), CaseSession(case), real_can)

    def picture():
        surface = pygame.Surface((1280, 720))
        page.draw(surface)
        return pygame.surfarray.array3d(surface.subsurface(page._places.picture))

    before = picture()
    case.think(["F06"])
    case.order("read-log")
    case.act("release")
    assert (picture() == before).all()
    case.order("cut-open")
    assert (picture() != before).any()


def test_the_review_is_shut_before_the_verdict(case):
    """Neither paths nor ghost nor fault can be had while the case goes on."""
    with pytest.raises(RefusedError, match="not over"):
        gather(case, silent)


AFTER = {
    "debrief_data.py",
    "fault_card_rows.py",
    "path_rows.py",
    "debrief_charts.py",
    "debrief_page.py",
    "debrief_runs.py",
    "run_view.py",
}


def test_pages_before_the_verdict_never_ask_for_it():
    """Only what is told after the verdict reads the hidden part of a case."""
    folder = Path(case_page.__file__).parent
    asking = {path.name for path in folder.glob("*.py") if ".hidden" in path.read_text(encoding="utf-8")}
    assert asking <= AFTER
