"""What all pages of a case share: Escape leaves at once, whatever list has the focus."""

from __future__ import annotations

import pygame

from sim.screens.page import Page


class CaseBase(Page):
    """A page whose lists have the focus from the start: one Escape is enough to go back."""

    def handle(self, event: pygame.event.Event) -> None:
        """One event; where nothing is being typed Escape goes back."""
        escape = event.type == pygame.KEYDOWN and event.key == pygame.K_ESCAPE
        if escape and not self.desk.help and not self.form.typing:
            self.notice = ""
            self.back()
        else:
            super().handle(event)
