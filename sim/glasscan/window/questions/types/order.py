"""Steps pressed in their order."""

from __future__ import annotations

from typing import Any

from glasscan.window.questions.form_widgets import ManyLines, widgets_for
from glasscan.window.questions.question_cards import GivenAnswer


@widgets_for("order")
class Steps(ManyLines):
    """Lines that show the place they were given."""

    hint = "Press the steps in their order; press one again to take it out."

    def state(self, now: GivenAnswer) -> tuple[object, ...]:
        return tuple(now.picked)

    def sign(self, sheet: Any, i: int, key: str) -> str:
        order = sheet.now.picked
        return f"step {order.index(key) + 1}:  " if key in order else f"{i + 1}  "
