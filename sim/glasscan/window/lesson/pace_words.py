"""Whether a lesson runs, and how fast, in words."""

from __future__ import annotations

from glasscan.ui.display_units import pace
from glasscan.window.lesson.lesson_session import LessonSession


def state_words(session: LessonSession) -> str:
    """Whether it runs, and how fast."""
    state = "running" if session.playing else "finished" if session.finished else "paused"
    return f"{state}, {'fast-forward' if session.late else pace(session.speed)}"
