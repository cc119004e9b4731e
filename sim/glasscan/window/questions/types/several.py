"""Statements to tick."""

from __future__ import annotations

from glasscan.window.questions.form_widgets import ManyLines, widgets_for


@widgets_for("several")
class Ticks(ManyLines):
    """Lines that are ticked."""
