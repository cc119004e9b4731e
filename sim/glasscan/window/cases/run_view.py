"""The rig of a case, running: with the fault, and beside it without; only after the verdict."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, cast

from glasscan.learning.cases.atlas import FILTERS, FLUID
from glasscan.ui.view_options import ViewOptions
from glasscan.window.cases.debrief_data import DebriefData
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.lesson_session import Facts, LessonSession

if TYPE_CHECKING:
    from glasscan.filters.section import Section
    from glasscan.rig.setup import RigSetup
    from glasscan.window import contract

LONGEST_S = 600.0
SOUND = "without the fault"


def live(told: DebriefData, section: Section, desk: ViewOptions, hot: bool = False) -> Screen:
    """The screen of the case's running filter, compared with the sound rig at once.

    Args:
        told: what is told after the verdict; its rigs are those of the case.
        section: the filter, solved.
        desk: choices of the view.
        hot: with hot oil, idle and then cruise; else the cold start.
    """
    morning = told.runs[int(hot)][0]
    session = _session(told, section, morning.faulty, 2)
    session.rivals = {SOUND: lambda: _session(told, section, morning.sound, 1)}
    session.playing = True
    screen = Screen(session, replace(desk, lesson=False, help=False))
    screen.rivalry.choose(SOUND)
    return screen


def _session(told: DebriefData, section: Section, setup: RigSetup, share: int) -> LessonSession:
    from glasscan.filters.carriers import Carriers
    from glasscan.window.lesson.debris_controller import DebrisController
    from glasscan.window.lesson.lesson_loading import CARRIERS, RecordedRig

    marks = Carriers(section, CARRIERS * share // 2, told.case.seed)
    engine = RecordedRig(replace(setup, end_s=LONGEST_S))
    loose = DebrisController(section, told.case.seed)
    return LessonSession(_facts(told, setup), engine, cast("contract.Section", section), marks, loose=loose)


def _facts(told: DebriefData, setup: RigSetup) -> Facts:
    from glasscan.learning.catalogue import load_filter
    from glasscan.window.lesson.lesson_loading import fluid_titles

    valve, data = setup.network.valve, load_filter(FILTERS[told.case.kind])
    return Facts(
        title=f"Case {told.case.seed}: {told.debrief.title}",
        about=" ".join(fault.mechanism for fault in told.ill),
        safety=" ".join(fault.safety for fault in told.ill),
        filter_title=str(getattr(data, "title", "")),
        end_s=LONGEST_S,
        cracking_pa=valve.cracking_pa if valve else None,
        max_lift_m=valve.max_lift_m if valve else 0.0,
        fluids=fluid_titles(FLUID),
        filter_data=data,
        scenario=f"case-{told.case.kind}-{told.case.seed}",
        seed=told.case.seed,
    )
