"""Steps pressed in their order."""

from __future__ import annotations

from glasscan.window.questions.form_widgets import OrderedLines, widgets_for


@widgets_for("order")
class Steps(OrderedLines):
    """Steps of a job or of a run."""

    hint = "Press the steps in their order; press one again to take it out."
