"""After the verdict, the same run with the fault taken away at a moment that keys choose."""

import numpy as np
import pytest
from glasscan.window.cases import case_flow
from glasscan.window.cases.start_page import Chosen

from tests.window.cases.conftest import Front, decide, order


def sit(hands):
    """To a verdict."""
    order(hands, "read-log", "F06", "F12")
    decide(hands, "cannot-tell")


def test_the_moment_is_chosen_by_arrows_and_run(runnable):
    """6, arrows to 2 s, G: up to there both lines are one, after it the second goes its own way."""
    first = {}

    def choose(hands):
        hands.press("6")
        first["told"] = hands.page.told
        hands.press("g")  # nothing else was chosen yet
        assert "another moment" in hands.page.notice
        assert not hands.page.leave
        hands.page.form.focus_on("moment")
        hands.press("up", "up")
        assert "fault gone at 2 s" in hands.texts
        hands.press("g")

    seen = []

    def look(hands):
        hands.look()
        seen.extend(hands.texts)
        hands.press("escape")

    front = Front(sit, choose, look)
    assert case_flow.play(front, Chosen(runnable[0], "can", 2))
    page = front.pages[-1]
    assert page.tab == "run"
    assert "without it from 2 s on" in seen
    for (_, before), (_, after) in zip(first["told"].runs, page.told.runs, strict=True):
        assert (before.from_s, after.from_s) == (0.0, 2.0)
        early = after.times_s <= 2.0
        assert np.array_equal(after.with_fault["gauge"][early], after.without["gauge"][early])
        same = np.isin(after.times_s, before.times_s)
        assert after.with_fault["gauge"][same] == pytest.approx(before.with_fault["gauge"], rel=1e-3, abs=0.5)
    assert any(
        not np.array_equal(ghost.with_fault[name], ghost.without[name])
        for _, ghost in page.told.runs
        for name in ("gauge", "dp")
    )


def test_g_opens_the_run_from_any_part(runnable):
    """G is told in the help of the page; from another part it opens this one first."""

    def press(hands):
        hands.press("g")
        assert hands.page.tab == "run"
        hands.press("escape")

    assert case_flow.play(Front(sit, press), Chosen(runnable[0], "can", 2))
