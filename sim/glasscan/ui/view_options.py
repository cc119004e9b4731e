"""What the person at the screen has chosen about the picture, apart from the model."""

from __future__ import annotations

from dataclasses import dataclass

from glasscan.ui.display_units import SYSTEMS, UnitSystem
from glasscan.ui.theme import THEMES

TEXT_SCALES = (0.85, 1.0, 1.25, 1.5)
COLOURS = ("pressure", "speed", "unfiltered", "held")  # what the colours of the oil may mean, see shades
CIRCUITS = ("off", "strip", "whole")
SLOTS = ("trace", "valve", "events", "more")
NOTES = (
    "off",
    "window",
    "here",
)  # where the presenter's notes are: nowhere, in their own window, in this one


@dataclass
class ViewOptions:
    """Choices of the view; a lesson starts in demonstrate mode with few controls."""

    theme: str = "dark"
    units_index: int = 0
    text_index: int = 1
    names: bool = True
    slot: str = "trace"
    drawer: bool = False
    why: int = 0
    still: bool = False
    colours: str = "pressure"
    closer: bool = False
    page: str = "rig"
    debris_kind: str = "steel-flake"
    debris_number: str = "5"
    prompt: bool = False
    help: bool = False
    lesson: bool = False
    graph: bool = False
    hands: bool = False
    notes: str = "off"
    circuit: str = "off"

    def look_as(self, other: ViewOptions) -> None:
        """Take over how another desk looks: theme, units, text size, motion."""
        self.theme, self.units_index = other.theme, other.units_index
        self.text_index, self.still = other.text_index, other.still

    @property
    def units(self) -> UnitSystem:
        """The unit system shown."""
        return SYSTEMS[self.units_index]

    @property
    def text_scale(self) -> float:
        """Factor on all text."""
        return TEXT_SCALES[self.text_index]

    def next_units(self) -> None:
        """The next unit system."""
        self.units_index = (self.units_index + 1) % len(SYSTEMS)

    def next_colours(self) -> None:
        """The next meaning of the oil's colours."""
        self.colours = COLOURS[(COLOURS.index(self.colours) + 1) % len(COLOURS)]

    def next_notes(self, displays: int = 2) -> None:
        """The presenter's notes: their own window, this one, nowhere; with one display this window first."""
        order = NOTES if displays > 1 else ("off", "here", "window")
        self.notes = order[(order.index(self.notes) + 1) % len(order)]

    def next_circuit(self) -> None:
        """The oil circuit: as a strip under the section, in the section's place, not at all."""
        self.circuit = CIRCUITS[(CIRCUITS.index(self.circuit) + 1) % len(CIRCUITS)]

    def next_theme(self) -> None:
        """The other theme."""
        self.theme = THEMES[(THEMES.index(self.theme) + 1) % len(THEMES)]

    def larger(self, by: int) -> None:
        """Larger text, or smaller for a negative `by`."""
        self.text_index = min(max(self.text_index + by, 0), len(TEXT_SCALES) - 1)

    def show(self, slot: str) -> None:
        """Show something in the slot under the gauges; asked for twice, the trace comes back."""
        self.slot = "trace" if self.slot == slot else slot
