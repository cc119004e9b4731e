"""The window opened on a hidden fault, as the command line asks for it."""

from __future__ import annotations

from typing import Any

import pygame

from glasscan.window.app import Application, open_display
from glasscan.window.cases.case_flow import play
from glasscan.window.cases.start_page import Chosen


def open_case(chosen: Chosen, **makers: Any) -> None:
    """Open the window on a case, and after it the first screen as usual.

    Args:
        chosen: a new case, or the file of one to go on with.
        makers: of pages that the window itself does not make, see `glasscan.window.app.open_window`.

    Raises:
        NoDisplay: no window can be opened here.
        BadInput: the file is no case.
    """
    open_display("find the hidden fault")
    try:
        sitting = Application(None, **makers)
        if play(sitting, chosen):
            sitting.run(None)
    finally:
        pygame.display.quit()
