"""The cold start in a minute, by itself: what a newcomer sees first. Any key takes over.

The tour only does what a hand could do (run, pause, ask why, faster); what is seen is the model's own run.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.lesson.lesson_screen import Screen


@dataclass(frozen=True)
class TourStep:
    """One step.

    Attributes:
        after: seconds of wall time since the step before, or the event of the run that it waits for.
        text: what is said.
        acts: what is done then.
    """

    after: float | str
    text: str
    acts: tuple[Callable[[Screen], None], ...] = ()


def _play(screen: Screen) -> None:
    if not screen.session.playing and not screen.session.finished:
        screen.session.toggle()


def _pause(screen: Screen) -> None:
    screen.session.playing = False


def _ask_why(screen: Screen) -> None:
    screen.desk.why += 1


def _ask_no_more(screen: Screen) -> None:
    screen.desk.why = 0


def _faster(screen: Screen) -> None:
    screen.session.faster(1)


STEPS: tuple[TourStep, ...] = (
    TourStep(
        0.0,
        "A cold morning. The filter is cut open; under it the whole oil circuit. The engine will start.",
    ),
    TourStep(
        6.0,
        "The pump pushes thick oil into the filter. Watch the large number: the differential pressure.",
        (_play,),
    ),
    TourStep(
        "bypass-cracks",
        "The element cannot take all the oil: the bypass valve opens. Orange oil goes past, unfiltered.",
    ),
    TourStep(5.0, "Stopped. Why is it open? W asks, one link of the chain at a time.", (_pause, _ask_why)),
    TourStep(
        5.0,
        "Thick oil, a pump that sends its whole flow, a drop across the pleats, a force against a spring.",
        (_ask_why,),
    ),
    TourStep(
        5.0,
        "On with it, faster: the engine warms the oil.",
        (_ask_no_more, _play, _faster, _faster, _faster, _faster),
    ),
    TourStep(
        "bypass-seats",
        "The oil is warm and thin: the spring wins, the valve reseats. All oil is filtered again.",
        (_pause,),
    ),
    TourStep(
        7.0, "That was the model, not a film. Space runs it, B compares, H counts hands, ? shows the keys."
    ),
)
LAST_S = 8.0
"""How long the last words stay."""


class TourScreen:
    """A lesson's screen that a tour plays on until a key or a click takes over."""

    def __init__(self, screen: Screen, steps: tuple[TourStep, ...] = STEPS) -> None:
        self.screen, self.steps = screen, steps
        self.step = -1
        self.text = ""
        self._since_s = 0.0
        self.on = True
        self.desk, self.as_text = screen.desk, screen.as_text
        self._follow()

    @property
    def leave(self) -> bool:
        """Left as the lesson is."""
        return self.screen.leave

    def _follow(self) -> None:
        screen = self.screen
        self.quit, self.fullscreen, self.form = screen.quit, screen.fullscreen, screen.form

    def handle(self, event: pygame.event.Event) -> None:
        """A key or a click ends the tour and is not lost."""
        if self.on and event.type in (pygame.KEYDOWN, pygame.MOUSEBUTTONDOWN):
            self.on, self.text = False, ""
            self.desk.why = 0
        self.screen.handle(event)
        self._follow()

    def update(self, wall_s: float) -> None:
        """Go on with the tour, then let the lesson go on."""
        self._since_s += wall_s
        if self.on:
            self._go_on()
        self.screen.update(wall_s)
        self._follow()

    def _go_on(self) -> None:
        if self.step + 1 >= len(self.steps):
            if self._since_s > LAST_S:
                self.on, self.text = False, ""
            return
        step = self.steps[self.step + 1]
        if not self._is_due(step.after):
            return
        self.step, self.text, self._since_s = self.step + 1, step.text, 0.0
        for act in step.acts:
            act(self.screen)

    def _is_due(self, after: float | str) -> bool:
        if isinstance(after, float):
            return self._since_s >= after
        over = self.screen.session.finished  # an event that does not come in this run is not waited for
        return over or any(event.word == after for event in self.screen.session.events)

    def draw(self, surface: pygame.Surface, drawn_s: float = 0.0) -> Canvas:
        """The lesson, and over its foot what the tour says."""
        canvas = self.screen.draw(surface, drawn_s)
        if self.text:
            _draw_words(canvas, self.text)
        return canvas


def _draw_words(canvas: Canvas, text: str) -> None:
    """A band over the foot of the window; what it covers is not to be read."""
    w, h = canvas.surface.get_size()
    inner_w = w - 2 * canvas.dp(84)
    high = canvas.measure(text, "title", True, inner_w)[1] + 2 * canvas.dp(18)
    box = pygame.Rect(canvas.dp(36), h - high - canvas.dp(14), w - 2 * canvas.dp(36), high)
    canvas.texts[:] = [t for t in canvas.texts if not t.drawn.colliderect(box)]
    canvas.panel(box, "sheet", "accent", 12, 4)
    place = box.inflate(-2 * canvas.dp(48), -2 * canvas.dp(14))
    canvas.text(text, place, "title", bold=True, wrap=True)
