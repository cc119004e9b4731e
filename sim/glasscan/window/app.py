"""The window: opens the display, loads behind a progress bar, then runs the frame loop at 60 Hz."""

from __future__ import annotations

import contextlib
import os
import sys
import warnings
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any, cast

import pygame

from glasscan.ui.page import Shown
from glasscan.ui.progress_task import ReportProgress, do_behind_bar
from glasscan.ui.slider import Slider
from glasscan.ui.text_page import TextPage, text_lines
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Choice
from glasscan.window import fault_log, gc_policy
from glasscan.window.emblem import emblem
from glasscan.window.home import resume_state
from glasscan.window.home.home import Home
from glasscan.window.home.lesson_index import LessonIndex, filled_beside
from glasscan.window.home.resume_state import ResumeState
from glasscan.window.lesson.live_lesson import LiveScreen, watched
from glasscan.window.open_request import HomeState, OpenRequest
from glasscan.window.presenter.notes_window import NoteWindow
from glasscan.window.routes import route

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario
    from glasscan.ui.canvas import Canvas
    from glasscan.window.exam.class_figures import ClassMaker
    from glasscan.window.lesson.lesson_answers import LessonAnswers
    from glasscan.window.lesson.lesson_loading import Opened
    from glasscan.window.lesson.lesson_screen import Screen
    from glasscan.window.lesson.takeaway import Prints

HERTZ = 60
REST_MS = 200  # a still window is looked at so often
AWAKE_FRAMES = 20  # drawn at the full pace after an event
LONGEST_FRAME_S = 0.1  # after a hiccup (a dragged window) the model does not try to catch up
SMALLEST = (1280, 720)
FIRST_SIZE = (1920, 1080)
AS_TEXT = pygame.K_F2
LEAST_SIZE = (640, 360)
"""Pixels to which a window can be drawn together."""
DRAWN_FROM = (320, 180)
"""Pixels below which nothing is drawn: a window manager that knows no least size may go lower."""
UNSEEN_DRIVERS = {"offscreen", "dummy"}
"""Drivers that SDL takes without a word where the display named in the environment is dead."""
REPEAT_MS = (350, 40)
MOST_CHANGES = 500
Printers = tuple[Callable[..., str], Callable[..., str]]  # lesson sheet, and answer key from a run


class NoDisplay(RuntimeError):
    """There is no display to open a window on."""


class WrongPygameError(RuntimeError):
    """The original pygame has overwritten pygame-ce."""


def open_window(
    scenario: Scenario | None,
    frames: int | None = None,
    word: str = "",
    printers: Printers | None = None,
    class_maker: ClassMaker | None = None,
    tour: bool = False,
) -> int:
    """Show a scenario, or the first screen, until the window is closed.

    Args:
        scenario: what to show; None for the first screen.
        frames: stop after so many frames (for tests).
        word: how the scenario was named, a file or an id, to find it again.
        printers: make the pages of a lesson.
        class_maker: makes the figures of a class.
        tour: play the scenario as a tour.

    Returns:
        Exit code 0.

    Raises:
        NoDisplay: no window can be opened here.
        BadInput: a data file of the scenario is missing or bad.
    """
    open_display(scenario.title if scenario else "first screen")
    try:
        application = Application(frames, printers, class_maker)
        application.tour = tour
        application.run(scenario, word)
    finally:
        pygame.display.quit()
    return 0


class Application:
    """From opening the window to closing it: the first screen, lessons, and the way between them."""

    def __init__(
        self,
        frames: int | None = None,
        printers: Printers | None = None,
        class_maker: ClassMaker | None = None,
    ) -> None:
        self.frames, self.printers, self.class_maker = frames, printers, class_maker
        self.left = resume_state.load()
        self.desk = ViewOptions(
            self.left.theme, self.left.units_index, self.left.text_index, still=self.left.still
        )
        self.trouble, self.tour = "", False
        self.shelf: LessonIndex | None = None
        self.stood: HomeState | None = None

    def run(self, scenario: Scenario | None, word: str = "") -> None:
        """Go straight into a scenario where one is given, then to and fro until the window is closed."""
        on = scenario is None or self._first(
            scenario, OpenRequest(word or scenario.scenario, "demonstrate" if self.tour else "practise")
        )
        while on:
            wanted = self.choose()
            on = wanted is not None and self.open(wanted)

    def _first(self, scenario: Scenario, wanted: OpenRequest) -> bool:
        """The lesson that the command names; a fault in it leads to the first screen, as for any other."""
        from glasscan.content import BadInput

        try:
            return self.lesson(scenario, wanted)
        except BadInput:
            raise  # the command line tells it, with its exit code
        except Exception as fault:
            self.trouble = fault_log.told(fault)
            return True

    def choose(self) -> OpenRequest | None:
        """The first screen; None where the window was closed."""
        self.shelf = self.shelf or filled_beside()
        pygame.display.set_caption("Glasscan")
        home = Home(self.desk, self.shelf, self.left, self.trouble, self.stood)
        self.trouble = ""
        try:
            run_loop(home, self.frames)
        finally:
            home.close()
        self.stood = home.stood()
        self._keep_look()
        return home.wanted

    def open(self, wanted: OpenRequest) -> bool:
        """Open what was chosen; what is wrong with it is told on the first screen. False: window closed."""
        from glasscan.content import BadInput
        from glasscan.learning.scenario_loading import load_scenario

        try:
            if wanted.way:
                return route(wanted.way).take(self)
            return self.lesson(load_scenario(wanted.scenario), wanted)
        except BadInput as bad:
            self.trouble = bad.lines[0]
        except Exception as fault:  # a fault of one page must not end the window and what else it holds
            self.trouble = fault_log.told(fault)
        return True

    def lesson(self, scenario: Scenario, wanted: OpenRequest) -> bool:
        """One lesson from its loading to leaving it; False where the window was closed."""
        pygame.display.set_caption(f"Glasscan: {scenario.title}")
        size = _surface().get_size()
        making = partial(self._made, scenario, wanted, size)
        made: tuple[Opened, Screen] | None = do_behind_bar(scenario.title, making, self.desk.theme)
        if made is None:
            return False
        opened, screen = made
        shown = self._toured(screen) or watched(screen, wanted.scenario)
        try:
            run_loop(shown, self.frames)
            while screen.to_bench and self.bench(screen):
                run_loop(shown, self.frames)
        finally:
            opened.close()
            kept = opened.prompts.recorder
            if kept is not None:
                kept.close(all(given.locked for given in opened.prompts.given.values()))
            self._keep(scenario.title, wanted, screen)
        if isinstance(shown, LiveScreen) and shown.fresh is not None:
            return self.lesson(shown.fresh, replace(wanted, resume=False))
        return screen.leave

    def _toured(self, screen: Screen) -> Shown | None:
        """The first lesson as a tour, where one is wanted; afterwards lessons are as they are."""
        if not self.tour:
            return None
        from glasscan.window.lesson.tour import TourScreen

        self.tour = False
        return TourScreen(screen)

    def _made(
        self, scenario: Scenario, wanted: OpenRequest, size: tuple[int, int], tell: ReportProgress
    ) -> tuple[Opened, Screen]:
        """The session and its screen with all that the first picture needs; runs beside the bar."""
        gc_policy.clear_up()
        left = self.left if wanted.resume else None
        kept = self._answers(scenario, wanted)
        salt = kept.salt if kept else None
        opened = open_session(scenario, tell, exam=wanted.mode == "exam", left=left, salt=salt)
        from glasscan.window.lesson.lesson_screen import Screen

        if kept is not None:
            opened.prompts.recorder = kept
            kept.put_back(opened.prompts)
        predict = wanted.mode != "demonstrate" and not wanted.resume
        # who predicts or is examined must not read in the notes what will come
        expected = opened.expected if wanted.mode == "demonstrate" else tuple
        desk, prints = replace(self.desk, lesson=predict), self._prints(scenario, opened)
        screen = Screen(opened.session, desk, opened.prompts, predict, prints, expected)
        screen.prepare(size)
        return opened, screen

    @staticmethod
    def _answers(scenario: Scenario, wanted: OpenRequest) -> LessonAnswers | None:
        """Where the answers go of someone who practises; whoever demonstrates leaves none."""
        if wanted.mode == "demonstrate" or not scenario.prompts:
            return None
        from glasscan.window.lesson.lesson_answers import LessonAnswers

        return LessonAnswers(scenario, wanted.resume)

    def bench(self, screen: Screen) -> bool:
        """The filter of a lesson on the bench, as it is now; False where the window was closed."""
        from glasscan.window.bench.inspection_flow import on_the_bench

        self.desk.look_as(screen.desk)
        on = on_the_bench(self, screen)
        screen.desk.look_as(self.desk)
        return on

    def show(self, page: Shown) -> bool:
        """Run a page until it is left; False where the window was closed."""
        run_loop(page, self.frames)
        return not page.quit

    def behind_bar(self, title: str, work: Callable[[ReportProgress], Any]) -> Any:
        """Do work in a thread behind a progress bar; None where the window was closed."""
        return do_behind_bar(title, work, self.desk.theme)

    def _prints(self, scenario: Scenario, opened: Opened) -> Prints | None:
        """Pages of the lesson, where there is someone to make them."""
        if self.printers is None or opened.keys is None:
            return None
        from glasscan.window.lesson.takeaway import Prints

        sheet, key = self.printers
        return Prints(partial(sheet, scenario), partial(key, scenario), opened.keys.log)

    def _keep(self, title: str, wanted: OpenRequest, screen: Screen) -> None:
        """Remember where it was left, and how the window looked."""
        session = screen.session
        self.desk.look_as(screen.desk)
        changes = [
            resume_state.ControlChange(t_s=t, key=k, value=v) for t, k, v in session.moved[:MOST_CHANGES]
        ]
        t_s = session.snapshot.t_s
        past = {"scenario": wanted.scenario, "title": title, "mode": wanted.mode, "t_s": t_s}
        self.left = ResumeState.model_validate({**past, "changes": tuple(changes)})
        self._keep_look()

    def _keep_look(self) -> None:
        """How the window looks is there again the next time, whether a lesson was opened or not."""
        desk = self.desk
        look = {"theme": desk.theme, "units_index": desk.units_index, "text_index": desk.text_index}
        self.left = self.left.model_copy(update=look | {"still": desk.still})
        resume_state.save(self.left)


def open_display(title: str) -> None:
    """Open a resizable window, at most as large as the desktop."""
    if not getattr(pygame, "IS_CE", False):
        raise WrongPygameError(
            "pygame has overwritten pygame-ce; repair with: pip uninstall -y pygame pygame-ce, "
            "then: pip install pygame-ce"
        )
    if sys.platform.startswith("linux"):
        # SDL turns OpenGL on even where that is itself software; plain surfaces are ten times quicker then.
        os.environ.setdefault("SDL_FRAMEBUFFER_ACCELERATION", "0")
    os.environ.setdefault("SDL_WINDOWS_DPI_AWARENESS", "permonitorv2")
    try:
        pygame.display.init()
        desktop = pygame.display.get_desktop_sizes()[0]
        size = tuple(
            max(least, min(first, d)) for least, first, d in zip(SMALLEST, FIRST_SIZE, desktop, strict=True)
        )
        pygame.display.set_icon(emblem())
        pygame.display.set_mode((size[0], size[1]), pygame.RESIZABLE)
        if pygame.display.get_driver() in UNSEEN_DRIVERS - _asked_drivers():
            pygame.display.quit()
            raise NoDisplay("the display that the environment names does not answer")
        _at_least()
        if size[0] >= desktop[0] or size[1] >= desktop[1]:
            _fit_desktop()
    except pygame.error as error:
        raise NoDisplay(str(error)) from None
    pygame.font.init()
    pygame.display.set_caption(f"Glasscan: {title}")


def _asked_drivers() -> set[str]:
    """Drivers that the environment asks for: who wants an unseen window, as tests do, gets one."""
    named = f"{os.environ.get('SDL_VIDEODRIVER', '')},{os.environ.get('SDL_VIDEO_DRIVER', '')}"
    return set(named.split(","))


def _at_least() -> None:
    """Keep the window from being drawn thinner than anything can stand in."""
    with warnings.catch_warnings(), contextlib.suppress(pygame.error, AttributeError):
        warnings.simplefilter("ignore", DeprecationWarning)  # no other way yet to the window of set_mode
        pygame.Window.from_display_module().minimum_size = LEAST_SIZE


def _fit_desktop() -> None:
    """Let the desktop fit the window between its own bars: as large as the screen it would lose its foot."""
    with warnings.catch_warnings(), contextlib.suppress(pygame.error, AttributeError):
        warnings.simplefilter("ignore", DeprecationWarning)  # no other way yet to the window of set_mode
        pygame.Window.from_display_module().maximize()


def _surface() -> pygame.Surface:
    """The window's surface, which a resize replaces."""
    surface = pygame.display.get_surface()
    assert surface is not None
    return surface


def open_session(*args: Any, **options: Any) -> Opened:
    """Build a session (see `opening.open_session`): imported late: the first screen does without."""
    from glasscan.window.lesson import lesson_loading

    return lesson_loading.open_session(*args, **options)


def run_loop(screen: Shown, frames: int | None = None) -> None:
    """Frames until the window is closed or the screen is left: events, model, picture, flip."""
    clock, notes = pygame.time.Clock(), NoteWindow()
    fullscreen = False
    count, canvas, rest = 0, cast("Canvas | None", None), RestingLoop()
    while not screen.quit and not screen.leave and (frames is None or count < frames):
        first = rest.wait(frames is None and bool(getattr(screen, "at_rest", False)))
        wall_s = min(clock.tick(HERTZ) / 1000, LONGEST_FRAME_S)
        if _hand_over(screen, notes, first):
            _read_out(screen, canvas or screen.draw(_room_to_draw(_surface()), 0.0), frames)
        if screen.fullscreen != fullscreen:
            with contextlib.suppress(pygame.error):  # some drivers cannot; the window stays as it is
                pygame.display.toggle_fullscreen()
            fullscreen = screen.fullscreen
        _set_repeat(screen)
        screen.update(wall_s)
        surface = _surface()
        if surface is _room_to_draw(surface):
            canvas = screen.draw(surface, wall_s)
        pygame.display.flip()
        _present(screen, notes, wall_s)
        count += 1
    notes.close()


def _room_to_draw(surface: pygame.Surface) -> pygame.Surface:
    """The window's surface; one out of sight where the window is thinner than anything can be drawn."""
    if all(own >= least for own, least in zip(surface.get_size(), DRAWN_FROM, strict=True)):
        return surface
    return pygame.Surface(LEAST_SIZE)


def _read_out(screen: Shown, canvas: Canvas, frames: int | None) -> None:
    """Show the screen as text until that is left; a window closed meanwhile is closed for the screen too."""
    own = getattr(screen, "as_text", None)
    page = TextPage(screen.desk, own() if own else text_lines(canvas, screen.form))
    run_loop(page, frames)
    screen.quit = screen.quit or page.quit


class RestingLoop:
    """Frames of a window in which nothing moves: it waits for events, and looks by itself now and then."""

    def __init__(self) -> None:
        self._awake = AWAKE_FRAMES

    def wait(self, at_rest: bool) -> list[pygame.event.Event]:
        """Events that have ended a wait; none where the loop goes on at its full pace.

        After an event it stays awake for some frames, so that whatever the event began is seen at once.
        """
        if not at_rest:
            self._awake = AWAKE_FRAMES
            return []
        if self._awake > 0:
            self._awake -= 0 if pygame.event.peek() else 1
            return []
        event = pygame.event.wait(REST_MS)
        if event.type == pygame.NOEVENT:
            return []
        self._awake = AWAKE_FRAMES
        return [event]


def _hand_over(screen: Shown, notes: NoteWindow, first: list[pygame.event.Event] | None = None) -> bool:
    """Give the screen what has happened; keys that come after it was left are for what comes next.

    True where the screen is wanted as text.
    """
    wanted = False
    for event in [*(first or []), *pygame.event.get()]:
        if screen.leave and event.type == pygame.KEYDOWN:
            pygame.event.post(event)
        elif event.type == pygame.KEYDOWN and event.key == AS_TEXT and not isinstance(screen, TextPage):
            wanted = True
        elif not screen.leave and not notes.mine(event):
            # with two windows open closing the main one is no QUIT yet
            closed = event.type == pygame.WINDOWCLOSE
            screen.handle(pygame.event.Event(pygame.QUIT) if closed else event)
    return wanted


def _present(screen: Shown, notes: NoteWindow, wall_s: float) -> None:
    """Keep the presenter's own window as the desk of a lesson wants it."""
    if not hasattr(screen, "paint_notes"):
        return
    screen = cast("Screen", screen)
    desk = screen.desk
    if desk.notes != "window":
        notes.close()
        return
    if notes.was_closed:
        desk.notes, notes.was_closed = "off", False
        return
    notes.show()
    if notes.trouble:
        desk.notes, screen.taker.notice = "here", notes.trouble
    notes.draw(screen.paint_notes, desk.theme, desk.text_scale, wall_s)


def _set_repeat(screen: Shown) -> None:
    """Held arrow keys repeat on sliders and lists only: a held Space must not flicker."""
    wanted = REPEAT_MS if isinstance(screen.form.focused, Slider | Choice) else (0, 0)
    if pygame.key.get_repeat() != wanted:
        pygame.key.set_repeat(*wanted)
