"""The closer look at the session's moment: one row of pleats, or one gap between two discs.

Solving a close-up takes longer than a frame, so a thread does it: it takes the newest moment, and the
window draws the newest fields. Marks of oil drift in what is drawn.
"""

from __future__ import annotations

import threading
from dataclasses import dataclass, field, replace
from typing import Any, Protocol

import numpy as np
import pygame

from glasscan.laws.combing import TURN
from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import DisplayUnit
from glasscan.window.closeup import disc_closeup, pleat_closeup
from glasscan.window.contract import Array

MARKS, SEED = 700, 7
LEAST_TP = 600.0  # narrower boxes hold no close-up
ENOUGH = 0.02  # relative change of the moment after which it is solved again
LEAST_M3S = 1e-11  # a change of flow by less does not show
STILL_KG = 1e-9
NEAR_RAD = 1e-3
NO_DATA = "There is no closer look at this filter."


@dataclass(frozen=True)
class Scraped:
    """What turning the handle has done: angle of the discs, load by sector, mass taken off; and the comb."""

    disc_rad: float = 0.0
    rim: Array = field(default_factory=lambda: np.ones(0))
    combed_kg: float = 0.0
    bite: float = 1.0
    drive: float = 1.0

    @classmethod
    def of(cls, s: Snapshot) -> Scraped:
        """As a snapshot tells it."""
        told = s.readings
        return cls(
            told.get("disc_rad", 0.0), s.rim, told.get("combed_kg", 0.0), told.get("blade_bite", 1.0),
            told.get("handle_drive", 1.0),
        )  # fmt: skip


@dataclass(frozen=True)
class CloseupMoment:
    """What a close-up is fed by, SI: flow through its part, viscosity, deposit, pressure behind it.

    `kept_pa` is the load whose shape collapsed pleats keep, Pa; `times` the resistance over the clean one;
    `scraped` what turning has done.
    """

    flow_m3s: float
    mu_pa_s: float
    deposit_kg: float
    outlet_pa: float
    kept_pa: float = 0.0
    times: float = 1.0
    scraped: Scraped = field(default_factory=Scraped)

    def near(self, other: CloseupMoment | None) -> bool:
        """True where solving again would hardly show."""
        if other is None:
            return False
        pairs = (
            (self.flow_m3s, other.flow_m3s, LEAST_M3S),
            (self.mu_pa_s, other.mu_pa_s, 0.0),
            (self.deposit_kg, other.deposit_kg, STILL_KG),
            (self.kept_pa, other.kept_pa, 0.0),
            (self.times, other.times, 0.0),
            (self.scraped.disc_rad, other.scraped.disc_rad, NEAR_RAD),
        )
        return all(abs(a - b) <= max(ENOUGH * abs(b), least) for a, b, least in pairs)


class CloseupKind(Protocol):
    """One kind of close-up: from a moment to its fields, carriers for them, and a picture."""

    def solve(self, moment: CloseupMoment) -> Any:
        """Fields of a moment."""

    def newest(self, frame: Any, s: Snapshot) -> Any:
        """The fields as they are to be drawn at a moment a little later."""

    def carriers(self, frame: Any) -> Any:
        """Marks that drift in them."""

    def rate(self, frame: Any, box: pygame.Rect, surface: pygame.Surface) -> float:
        """How much slower than life the oil is drawn."""

    def moment(self, s: Snapshot) -> CloseupMoment:
        """What of a snapshot feeds it."""

    def draw(self, canvas: Canvas, box: pygame.Rect, frame: Any, carriers: Any, unit: DisplayUnit) -> None:
        """Draw into a box."""


class Pleats:
    """A row of pleats of the segment at half height."""

    def __init__(self, element: Any) -> None:
        from glasscan.filters.closeup.pleat_row import PleatRow

        self.row = PleatRow(element)

    def moment(self, s: Snapshot) -> CloseupMoment:
        """Flow and deposit of the middle segment."""
        k = len(s.segment_m3s) // 2
        kept_pa, times = s.readings.get("pleats_set_pa", 0.0), s.readings.get("deposit_factor", 1.0)
        flow, mass = float(s.segment_m3s[k]), float(s.deposit_kg[k])
        return CloseupMoment(flow, s.mu_pa_s, mass, s.outlet_pa, kept_pa, times)

    def solve(self, moment: CloseupMoment) -> Any:
        """Deposit spread over the segment's paper, panels bent by the flow."""
        element = self.row.element
        self.row.keep(moment.kept_pa)
        self.row.times = moment.times
        self.row.load_to(moment.deposit_kg * element.segments / element.area_m2)
        flow = self.row.pair_flow_m2_s(max(moment.flow_m3s, 0.0))
        return self.row.frame(flow, moment.mu_pa_s, moment.outlet_pa)

    def newest(self, frame: Any, s: Snapshot) -> Any:
        """As solved."""
        del s
        return frame

    def carriers(self, frame: Any) -> Any:
        """Marks in the channels."""
        from glasscan.filters.closeup.pleat_carriers import PleatCarriers

        return PleatCarriers(frame, MARKS, SEED)

    def rate(self, frame: Any, box: pygame.Rect, surface: pygame.Surface) -> float:
        """How much slower than life the oil is drawn."""
        return pleat_closeup.drawn_rate(self.row, frame, box, surface)

    def draw(self, canvas: Canvas, box: pygame.Rect, frame: Any, carriers: Any, unit: DisplayUnit) -> None:
        """Draw into a box."""
        scale = pleat_closeup.pressure_scale(frame, unit)
        drawn = pleat_closeup.draw(
            canvas.surface, box, self.row, frame, canvas.theme, scale,
            carriers=carriers, unit=unit, text_scale=canvas.text_scale,
        )  # fmt: skip
        canvas.texts += drawn.texts
        canvas.drawn |= drawn.drawn


class Discs:
    """One gap of the stack, with the mean flow and deposit of all gaps, turned as the rig says."""

    def __init__(self, data: Any) -> None:
        from glasscan.filters.closeup.disc_face import DiscFace

        self.face, self.gaps = DiscFace(data), data.stack.gaps

    def moment(self, s: Snapshot) -> CloseupMoment:
        """The share of one gap."""
        flow, mass = float(s.segment_m3s.sum()), float(s.deposit_kg.sum())
        times = s.readings.get("deposit_factor", 1.0)
        return CloseupMoment(
            flow / self.gaps, s.mu_pa_s, mass / self.gaps, s.outlet_pa, times=times, scraped=Scraped.of(s)
        )

    def solve(self, moment: CloseupMoment) -> Any:
        """The deposit as the rig has it round the rim, met by the oil where that leaves it room."""
        from glasscan.filters.closeup.disc_face import BladeState, DiscState

        face, scraped = self.face, moment.scraped
        face.blade = BladeState(worn=1.0 - scraped.bite, slip=1.0 - scraped.drive)
        rim = scraped.rim if len(scraped.rim) else np.ones(len(face.state.missed_kg))
        face.state = DiscState(
            reached_kg=moment.deposit_kg * rim / len(rim),
            missed_kg=np.zeros(len(rim)),
            turned_rad=scraped.disc_rad,
            removed_kg=scraped.combed_kg / self.gaps,
        )
        face.match(moment.times)
        return face.fields(max(moment.flow_m3s, 0.0), moment.mu_pa_s, moment.outlet_pa)

    def newest(self, frame: Any, s: Snapshot) -> Any:
        """The fields in a disc that has turned on since they were solved."""
        disc = s.readings.get("disc_rad", frame.turned_rad)
        return replace(frame, turned_rad=disc, blade_rad=float(-disc % TURN))

    def carriers(self, frame: Any) -> Any:
        """Marks in the gap."""
        from glasscan.filters.closeup.disc_carriers import DiscCarriers

        return DiscCarriers(frame, MARKS, SEED)

    def rate(self, frame: Any, box: pygame.Rect, surface: pygame.Surface) -> float:
        """How much slower than life the oil is drawn."""
        return disc_closeup.drawn_rate(self.face, frame, box, surface)

    def draw(self, canvas: Canvas, box: pygame.Rect, frame: Any, carriers: Any, unit: DisplayUnit) -> None:
        """Draw into a box."""
        scale = disc_closeup.pressure_scale(frame, unit)
        drawn = disc_closeup.draw(
            canvas.surface, box, self.face, frame, canvas.theme, scale,
            carriers=carriers, unit=unit, text_scale=canvas.text_scale,
        )  # fmt: skip
        canvas.texts += drawn.texts
        canvas.drawn |= drawn.drawn


def kind_for(data: Any) -> CloseupKind | None:
    """The close-up that fits a filter's data; None where there is none."""
    if hasattr(data, "stack"):
        return Discs(data)
    if hasattr(data, "element"):
        return Pleats(data.element)
    return None


class CloseupPanel:
    """Keeps the newest fields of the close-up and draws them."""

    def __init__(self, data: Any) -> None:
        self._data = data
        self._kind: CloseupKind | None = None
        self._solved: tuple[CloseupMoment, Any] | None = None
        self._shown: tuple[Any, Any] | None = None
        self._thread: threading.Thread | None = None
        self._moment: Snapshot | None = None
        self.trouble = "" if data is not None else NO_DATA

    @property
    def busy(self) -> bool:
        """True while a moment is being solved."""
        return self._thread is not None and self._thread.is_alive()

    def look(self, s: Snapshot) -> None:
        """Have the moment solved, unless the last one still does or the thread is at work."""
        self._moment = s
        if self.trouble or self.busy:
            return
        if self._kind is not None and self._solved is not None and self._kind.moment(s).near(self._solved[0]):
            return
        self._thread = threading.Thread(target=self._work, args=(s,), daemon=True)
        self._thread.start()

    def wait(self) -> None:
        """Until the thread is done (for pictures)."""
        if self._thread is not None:
            self._thread.join()

    def _work(self, s: Snapshot) -> None:
        try:
            self._kind = self._kind or kind_for(self._data)
            if self._kind is None:
                self.trouble = NO_DATA
                return
            moment = self._kind.moment(s)
            self._solved = moment, self._kind.solve(moment)
        except ValueError as error:
            self.trouble = f"The closer look stops: {' '.join(str(error).split())}."

    def draw(
        self, canvas: Canvas, box: pygame.Rect, unit: DisplayUnit, drawn_s: float = 0.0, flowing: bool = False
    ) -> None:
        """Draw the newest fields; the marks drift for `drawn_s` of screen time where oil flows."""
        small = box.w < canvas.tp(LEAST_TP)
        if small or self.trouble or self._solved is None or self._kind is None:
            canvas.panel(box, "sheet", "edge", 14, 2)
            words = self.trouble or ("Close the controls." if small else "Solving the flow…")
            canvas.text(words, box.inflate(-canvas.dp(60), -canvas.dp(60)), align="centre", wrap=True)
            return
        frame = self._solved[1]
        if self._moment is not None:
            frame = self._kind.newest(frame, self._moment)
        if self._shown is None:
            self._shown = frame, self._kind.carriers(frame)
        carriers = self._shown[1]
        self._shown = frame, carriers
        if drawn_s > 0 and flowing:
            carriers.step(frame, drawn_s * self._kind.rate(frame, box, canvas.surface))
        self._kind.draw(canvas, box, frame, carriers, unit)

    def lens(self, canvas: Canvas, box: pygame.Rect) -> Any:
        """The bare picture of the pleats in a box, without words; None while there is none, or no pleats."""
        if self.trouble or self._solved is None or not isinstance(self._kind, Pleats):
            return None
        frame = self._solved[1]
        pleat_closeup.draw_bare(canvas, box, self._kind.row, frame)
        return frame
