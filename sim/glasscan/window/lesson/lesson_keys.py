"""Keys of the window: what each asks for, by letter or by the name of the key in lower case."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from glasscan.ui.view_keys import Act, view_acts

if TYPE_CHECKING:
    from glasscan.window.lesson.intents import Intents

BACK_S = 5.0
Acts = dict[str, Act]


def acts(screen: Intents) -> Acts:
    """Every key that means something now."""
    return _running(screen) | _showing(screen) | _view(screen) | _pointing(screen)


def _running(screen: Intents) -> Acts:
    session = screen.session
    return {
        " ": screen.run,
        "space": screen.run,
        "]": session.faster,
        "[": partial(session.faster, -1),
        ".": session.step,
        ",": lambda: session.rewind(session.snapshot.t_s - BACK_S),
        "home": partial(session.rewind, 0.0),
        "r": screen.swap_regulator,
        "d": screen.drop,
        "q": screen.turn_handle,
        "y": session.let_dye_in,
        "k": screen.picture,
        "x": screen.open_filter,
        "escape": screen.close,
    }


def _showing(screen: Intents) -> Acts:
    """What is shown of the run, and with what beside it."""
    desk = screen.desk
    return {
        "v": partial(desk.show, "valve"),
        "e": partial(desk.show, "events"),
        "a": partial(desk.show, "more"),
        "z": partial(screen.toggle, "closer"),
        "g": partial(screen.toggle, "graph"),
        "j": desk.next_circuit,
        "b": screen.rivalry.next,
        "w": screen.why,
        "f": screen.point,
        "h": screen.show_hands,
        "p": lambda: screen.ask(not desk.prompt),
        "n": screen.next_notes,
        "s": screen.say,
        "i": partial(screen.toggle, "lesson"),
    }


def _view(screen: Intents) -> Acts:
    desk = screen.desk
    return view_acts(screen) | {
        "l": partial(screen.toggle, "names"),
        "c": screen.controls,
        "o": desk.next_colours,
        "m": partial(screen.toggle, "still"),
    }


def _pointing(screen: Intents) -> Acts:
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
