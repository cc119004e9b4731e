"""Widgets in Tab order, and which of them has the focus."""

from __future__ import annotations

from dataclasses import dataclass, field

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.text_input import TextInput
from glasscan.ui.widgets import Event, Widget


@dataclass
class Form:
    """Widgets in Tab order, one of them focused or none."""

    widgets: list[Widget] = field(default_factory=list)
    focus: int | None = None
    held: Widget | None = None

    def shown(self) -> list[Widget]:
        """Widgets that can be seen and used."""
        return [w for w in self.widgets if w.visible]

    @property
    def focused(self) -> Widget | None:
        """The widget with the focus."""
        if self.focus is None or self.focus >= len(self.widgets):
            return None
        widget = self.widgets[self.focus]
        return widget if widget.visible and widget.enabled else None

    @property
    def typing(self) -> bool:
        """True where plain keys belong to the focused widget."""
        return self.focused is not None and self.focused.typing

    def focus_on(self, name: str | None) -> None:
        """Move the focus to a widget by name, or nowhere."""
        if self.focused is not None:
            self.focused.leave()
        self.focus = next((i for i, w in enumerate(self.widgets) if w.name == name), None)

    def after(self, before: Form) -> Form:
        """This form in place of another: what is typed into keeps caret, selection and undo."""
        old = {w.name: w for w in before.widgets if isinstance(w, TextInput)}
        for widget in self.widgets:
            if isinstance(widget, TextInput) and isinstance(was := old.get(widget.name), type(widget)):
                widget.edit, widget.composing = was.edit, was.composing
        return self

    def tab(self, by: int) -> None:
        """Move the focus to the next usable widget; past the last it starts again."""
        order = [w.name for w in self.widgets if w.visible and w.enabled]
        if not order:
            return
        now = self.focused.name if self.focused else None
        if now is None:
            self.focus_on(order[0 if by > 0 else -1])
        else:
            self.focus_on(order[(order.index(now) + by) % len(order)])

    def handle(self, event: Event) -> bool:
        """Give an event to the widget it is for; True where it was used."""
        if event.type == pygame.KEYDOWN and event.key == pygame.K_TAB:
            self.tab(-1 if getattr(event, "mod", 0) & pygame.KMOD_SHIFT else 1)
            return True
        if event.type == pygame.KEYDOWN:
            return self._key(event)
        if event.type in (pygame.TEXTINPUT, pygame.TEXTEDITING):
            return self.focused is not None and self.typing and self.focused.handle(event)
        if event.type == pygame.MOUSEBUTTONUP:
            held, self.held = self.held, None
            return held is not None and held.handle(event)
        if event.type == pygame.MOUSEMOTION:
            return self.held is not None and self.held.handle(event)
        return event.type == pygame.MOUSEBUTTONDOWN and self._click(event)

    def _key(self, event: Event) -> bool:
        target = self.focused
        if target is None:
            return False
        if target.handle(event):
            return True
        if event.key == pygame.K_ESCAPE:
            self.focus_on(None)
            return True
        return False

    def _click(self, event: Event) -> bool:
        for widget in self.shown():
            if widget.enabled and widget.box.collidepoint(event.pos):
                self.focus_on(widget.name)
                self.held = widget if widget.drags else None
                return widget.handle(event)
        return False

    def draw(self, canvas: Canvas) -> None:
        """Draw all visible widgets, the focused one last so that its ring is on top."""
        for widget in self.shown():
            if widget is not self.focused:
                widget.draw(canvas, False)
        if self.focused is not None:
            self.focused.draw(canvas, True)
