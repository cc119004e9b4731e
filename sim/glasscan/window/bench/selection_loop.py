"""Choose and do, again and again: the round that all ways to the bench share."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from glasscan.ui.page import Page
from glasscan.window.navigator import Navigator


class Choosing(Page):
    """A page to choose from; `chosen` is set where it was left with a choice."""

    chosen: Any = None


def choose_and_do(front: Navigator, page: Choosing, do: Callable[[Any], bool]) -> bool:
    """Show a page and do what was chosen, until it is left without a choice.

    Args:
        front: the window.
        page: what to choose from.
        do: does it; returns False where the window was closed.

    Returns:
        False where the window was closed.
    """
    while True:
        page.leave, page.chosen = False, None
        if not front.show(page):
            return False
        if page.chosen is None:
            return True
        if not do(page.chosen):
            return False
