"""What was chosen on the first screen, and how it stood when it was left."""

from __future__ import annotations

from dataclasses import dataclass

from glasscan.window.home.resume_state import Mode


@dataclass(frozen=True)
class OpenRequest:
    """What was chosen: a scenario (id or file), a mode, and whether to go on where it was left.

    A `way` other than "" stands for one of the other ways in; there is no scenario then.
    """

    scenario: str
    mode: Mode
    resume: bool = False
    way: str = ""


@dataclass(frozen=True)
class HomeState:
    """How the first screen stood when it was left: what to do, the filter listed, the lesson marked."""

    mode: Mode = "demonstrate"
    filter: str = ""
    lesson: str = ""
