"""Keys of a lesson in one table: dispatch, key sheet and the printed guide read it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from glasscan.ui.bindings import Act, Binding, acts_of, sheet_of
from glasscan.ui.view_keys import view_bindings

if TYPE_CHECKING:
    from glasscan.window.lesson.intents import Intents

BACK_S = 5.0


def bindings(screen: Intents) -> tuple[Binding, ...]:
    """Every key of a lesson, in the order of the key sheet."""
    return (*_running(screen), *_looking(screen), *_telling(screen), *_always(screen))


def _running(screen: Intents) -> tuple[Binding, ...]:
    session = screen.session
    slower, faster = partial(session.faster, -1), session.faster
    return (
        Binding("Space", "run or pause", {" ": screen.run, "space": screen.run}),
        Binding("[  ]", "slower, faster", {"[": slower, "]": faster}),
        Binding(".", "step forward", {".": session.step}),
        Binding(",", "five seconds back", {",": lambda: session.rewind(session.snapshot.t_s - BACK_S)}),
        Binding("Home", "back to the start", {"home": partial(session.rewind, 0.0)}),
        Binding("C", "controls: air, oil, rpm", {"c": screen.controls}),
        Binding("R", "regulator before/after", {"r": screen.swap_regulator}),
    )


def _looking(screen: Intents) -> tuple[Binding, ...]:
    desk = screen.desk
    return (
        Binding("L", "part names on or off", {"l": partial(screen.toggle, "names")}),
        Binding("F", "freeze, point at a part", {"f": screen.point}),
        Binding("H", "hands of the class", {"h": screen.show_hands}),
        Binding("G", "large graph", {"g": partial(screen.toggle, "graph")}),
        Binding("J", "circuit of the oil", {"j": desk.next_circuit}),
        Binding("N", "presenter's notes", {"n": screen.next_notes}),
        Binding("Z", "closer look", {"z": partial(screen.toggle, "closer")}),
        Binding("D", "drop debris in", {"d": screen.drop}),
        Binding("Q", "turn the handle", {"q": screen.turn_handle}),
        Binding("Y", "let a line of dye in", {"y": screen.session.let_dye_in}),
        Binding("W", "why open or shut?", {"w": screen.why}),
        Binding("X", "open the filter: bench", {"x": screen.open_filter}),
        Binding("O", "colours of the oil", {"o": desk.next_colours}),
        Binding("M", "less motion", {"m": partial(screen.toggle, "still")}),
    )


def _telling(screen: Intents) -> tuple[Binding, ...]:
    desk = screen.desk
    return (
        Binding("S", "speak as text in the terminal", {"s": screen.say}),
        Binding("K", "keep a picture", {"k": screen.picture}),
        Binding("B", "beside: compare", {"b": screen.rivalry.next}),
        Binding("V", "forces on the valve", {"v": partial(desk.show, "valve")}),
        Binding("E", "list of events", {"e": partial(desk.show, "events")}),
        Binding("A", "all readings", {"a": partial(desk.show, "more")}),
        Binding("P", "questions", {"p": lambda: screen.ask(not desk.prompt)}),
        Binding("F5", "the lesson as changed"),  # taken by the screen that watches the file
        Binding("I", "about the lesson", {"i": partial(screen.toggle, "lesson")}),
    )


def _always(screen: Intents) -> tuple[Binding, ...]:
    return (
        Binding("Tab, Enter", "move, press"),
        *view_bindings(screen),
        Binding("Esc", "close, leave", {"escape": screen.close}),
    )


def acts(screen: Intents) -> dict[str, Act]:
    """Every key that means something now."""
    return acts_of(bindings(screen)) | _pointing(screen)


def sheet(screen: Intents) -> tuple[tuple[str, str], ...]:
    """Rows of the key sheet."""
    return sheet_of(bindings(screen))


def _pointing(screen: Intents) -> dict[str, Act]:
    """Arrows go from part to part while one is in the light, and along the chain of causes."""
    if not (screen.spot.key or screen.desk.why):
        return {}
    move = screen.spot.move if screen.spot.key else screen.why_on
    return {
        "right": partial(move, 1),
        "down": partial(move, 1),
        "left": partial(move, -1),
        "up": partial(move, -1),
    }


class _Anyone:
    """Stands in for a screen where only the words of the table are asked for."""

    def __getattr__(self, name: str) -> _Anyone:
        return self

    def __call__(self, *_: object) -> _Anyone:
        return self


def printed_sheet() -> tuple[tuple[str, str], ...]:
    """Rows of the key sheet without a lesson, for the guide on paper."""
    return sheet(_Anyone())  # type: ignore[arg-type]
