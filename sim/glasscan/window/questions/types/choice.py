"""One statement, or one number, of a list."""

from __future__ import annotations

from glasscan.window.questions.form_widgets import FormWidgets, widgets_for


@widgets_for("choice", "number-choice")
class OneLine(FormWidgets):
    """One line of a list."""
