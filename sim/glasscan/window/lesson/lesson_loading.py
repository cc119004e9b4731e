"""From a scenario to a session at the screen: solve the filter, build the rig, work out the keys."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Sequence
from copy import copy
from dataclasses import dataclass, replace
from functools import partial
from itertools import pairwise
from math import inf
from typing import TYPE_CHECKING, Any, cast

from glasscan.content import BadInput
from glasscan.learning.shuffling import new_salt
from glasscan.rig.records import Event, Snapshot
from glasscan.window.contract import EngineStoppedError
from glasscan.window.cutaway.cutaway_view import hurry
from glasscan.window.faults.fault_pictures import ShownFault, at_start
from glasscan.window.home.resume_state import ResumeState
from glasscan.window.lesson.debris_controller import DebrisController
from glasscan.window.lesson.lesson_session import Facts, LessonSession
from glasscan.window.lesson.start_with import StartWith
from glasscan.window.presenter.notes import lines_of
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.key_run import KeyRun
from glasscan.window.questions.question_cards import QuestionCard

if TYPE_CHECKING:
    from glasscan.faults.fault_data import Fault
    from glasscan.filters.hanging import Hangs
    from glasscan.filters.section import Section
    from glasscan.learning.marking_log import MarkingLog
    from glasscan.learning.prompts import Axes, PosedQuestion
    from glasscan.learning.scenario_schema import Scenario
    from glasscan.rig.rig import Rig
    from glasscan.rig.setup import RigSetup
    from glasscan.window import contract

CARRIERS = 1100
KEEP_EVERY = 6  # outer steps between two kept states: a tenth of a second at life speed
CURVE_STEPS = 160  # pieces of a run laid over a drawn curve
COLD_START_C = 10.0  # oil colder than this makes a cold start
STANDS_S = 3600.0  # a shorter stop loses no oil that would be seen
WARM_C, COLD_C = 70.0, -5.0  # the other start to compare with
MUCH_DIRT_KG = 0.02  # enough to raise the drop of a small element several times
SETTLE = 100  # long steps of the oil before a sitting goes on: every kind has reached its place
Progress = Callable[[float, str], None]


class RecordedRig:
    """The plant's recorder as the session's engine."""

    def __init__(self, setup: RigSetup) -> None:
        from glasscan.rig.recorder import Recorder

        # the session keeps its own, shorter trace; a drag over it finds a state within a few steps
        self._recorder = Recorder(setup, keep_every=KEEP_EVERY, trace_every_s=inf)

    @property
    def rig(self) -> Rig:
        """The rig as it stands now, for those who open its filter."""
        return self._recorder.rig

    @property
    def events(self) -> Sequence[Event]:
        """Events so far."""
        return self._recorder.rig.events

    @property
    def fluid(self) -> str:
        """Name of the oil in the rig."""
        return str(self._recorder.rig.state.controls.fluid.name)

    def snapshot(self) -> Snapshot:
        """The state now."""
        return self._recorder.snapshot()

    def advance(self, dt_s: float) -> None:
        """Let model time pass."""
        from glasscan.rig.rig import RigFailedError

        try:
            self._recorder.step(dt_s)
        except RigFailedError as error:
            raise EngineStoppedError(f"{error}.") from error

    @property
    def known_s(self) -> float:
        """Up to where the run is recorded, s."""
        return self._recorder.known_s

    def seek(self, t_s: float, exactly: bool = True) -> None:
        """Go to a recorded moment, back or on; see `Recorder.seek`."""
        self._recorder.seek(t_s, exactly)

    def set(self, key: str, value: Any) -> None:
        """Change a control; an oil is given by name."""
        from glasscan.learning.catalogue import load_fluid

        self._recorder.set(key, load_fluid(value) if key == "fluid" else value)


def cards(run: KeyRun, salt: str) -> list[QuestionCard]:
    """The scenario's prompts in the order of a sitting, ready to show, marked against a run."""
    from glasscan.learning.prompts import asked, needs_run

    found = []
    for prompt in run.scenario.prompts:
        late = partial(_late_choices, prompt, run, salt) if needs_run(prompt) else None
        a = asked_early(prompt, run.scenario) if late else asked(prompt, run.scenario, None, salt)
        mark = partial(run.mark, prompt, shown=None if late else a)
        found.append(
            QuestionCard(
                a.id, a.when, a.text, a.form, mark, a.choices, a.unit, a.units, a.edges_s, late,
                a.parts, a.axes, a.most_letters, partial(ran, a.axes, run.log) if a.axes else None,
                a.tests,
            )
        )  # fmt: skip
    return found


def ran(axes: Axes, log: Callable[[], MarkingLog]) -> list[tuple[float, float]]:
    """The run's own curve on the axes of a question; call it only once the mark is there."""
    from glasscan.learning.marking_log import value_at

    step = (axes.to_s - axes.from_s) / CURVE_STEPS
    times = [axes.from_s + i * step for i in range(CURVE_STEPS + 1)]
    return [(t, value_at(log(), axes.trace, t)) for t in times]


def asked_early(prompt: Any, scenario: Scenario) -> PosedQuestion:
    """A prompt before its run is known: without the numbers to choose from."""
    from glasscan.learning.ask_wording import fill
    from glasscan.learning.prompts import PosedQuestion

    return PosedQuestion(prompt.id, "after", fill(prompt.ask, scenario), "number-choice", marks=prompt.marks)


def _late_choices(prompt: Any, run: KeyRun, salt: str) -> tuple[tuple[str, str], ...]:
    """The numbers to choose from, once the run is there."""
    from glasscan.learning.prompts import asked

    return asked(prompt, run.scenario, run.log(), salt).choices


@dataclass(frozen=True)
class Opened:
    """A session, its prompts, and the run that their keys are read from."""

    session: LessonSession
    prompts: AnswerSheet
    keys: KeyRun | None = None

    def expected(self) -> Sequence[Event]:
        """Events of the lesson as written; none until its run is worked out."""
        log = self.keys.peek() if self.keys is not None else None
        return log.events if log is not None else ()

    def close(self) -> None:
        """Stop what still goes on beside the window."""
        if self.keys is not None:
            self.keys.stop()


def _silent(share: float, what: str) -> None:
    """Tell nobody."""
    del share, what


def open_session(
    scenario: Scenario,
    progress: Progress | None = None,
    keys: bool = True,
    exam: bool = False,
    left: ResumeState | None = None,
    salt: str | None = None,
) -> Opened:
    """Build everything a window needs; takes about a second.

    The run that the keys are read from is worked out in a process of its own, beside the window.

    Args:
        scenario: what to show.
        progress: called with a share 0..1 and what is being done.
        keys: begin on the keys where the scenario has prompts.
        exam: marks are kept back until every question is answered.
        left: go on from there.
        salt: secret of the sitting, which orders what is listed; a fresh one where none is given.

    Raises:
        BadInput: a data file it names is missing or bad.
    """
    tell = progress or _silent
    tell(0.05, "Solving the flow in the filter")
    from glasscan.filters.carriers import Carriers
    from glasscan.learning.assemble import rig_setup, section

    solved = section(scenario)
    solved.prepare_laminar_beside()
    tell(0.9, "Building the rig")
    setup = rig_setup(scenario, solved)
    carriers = Carriers(solved, CARRIERS, scenario.seed)
    session = LessonSession(
        facts_of(scenario, solved),
        RecordedRig(setup),
        cast("contract.Section", solved),
        carriers,
        loose=DebrisController(solved, scenario.seed),
    )
    session.remake = partial(_remade, session, scenario, setup, solved)
    session.soaked, session.load_kg = setup.oil_c is None, setup.dirt_kg
    session.own_faults = at_start(scenario)
    session.rivals = rivals(scenario, setup, solved, session.facts)
    session.faults = faulty(scenario, setup, solved, session.facts)
    if left is not None:
        _go_on(session, left, tell)
    run = KeyRun(scenario, setup)
    if scenario.prompts and keys:
        run.begin()
    tell(1.0, "Ready")
    return Opened(session, AnswerSheet(cards(run, new_salt() if salt is None else salt), exam), run)


def _remade(
    session: LessonSession, scenario: Scenario, setup: RigSetup, solved: Section, start: StartWith
) -> RecordedRig:
    """The rig of the lesson on another morning; the picture goes by its filter too."""
    from glasscan.faults.apply import apply
    from glasscan.faults.fault_data import faults

    by_title = {fault.title: fault for fault in faults().values()}
    changed = start.of(setup, lambda title, rig: apply(by_title[title], 1.0, rig))
    solved.network = changed.network
    own = (ShownFault(by_title[start.fault].fault, 1.0),) if start.fault else ()
    session.own_faults = (*at_start(scenario), *own)
    return RecordedRig(changed)


def rivals(
    scenario: Scenario, setup: RigSetup, solved: Section, facts: Facts
) -> dict[str, Callable[[], LessonSession]]:
    """Sessions that differ from the scenario in one thing, by what differs."""

    def make(change: dict[str, Any], differs: str) -> LessonSession:
        return _rival(scenario, replace(setup, **change), solved, facts, differs)

    other = "before" if setup.regulator == "after" else "after"
    warm = WARM_C if setup.start_c < (WARM_C + COLD_C) / 2 else COLD_C
    dirt = 0.0 if setup.dirt_kg > 0 else MUCH_DIRT_KG
    dirty = f"{1e3 * dirt:.0f} g of dirt in the element" if dirt else "a clean element"
    return {
        f"regulator {other} the filter": partial(make, {"regulator": other}, "regulator"),
        f"oil and metal at {warm:.0f} °C at the start": partial(make, {"oil_c": warm}, ""),
        dirty: partial(make, {"dirt_kg": dirt}, ""),
        **_hung_otherwise(scenario, setup, solved, facts),
        **_without_a_fault(scenario, solved, facts),
    }


def stands(scenario: Scenario) -> bool:
    """Whether the engine stands long enough in the lesson, before a start, for oil to run back."""
    turns = [(line.at_s, line.to) for line in scenario.timeline if line.set == "rpm"]
    return any(rpm == 0 and then - at > STANDS_S for (at, rpm), (then, _) in pairwise(turns))


def _hung_otherwise(
    scenario: Scenario, setup: RigSetup, solved: Section, facts: Facts
) -> dict[str, Callable[[], LessonSession]]:
    """A spin-on hung the other way up: at rest it keeps its oil, or loses it, by gravity alone."""
    if facts.filter_data.kind != "can" or not stands(scenario):
        return {}
    other: Hangs = "dome-up" if solved.hangs == "dome-down" else "dome-down"

    def make() -> LessonSession:
        turned = solved.hung(other)
        network = replace(setup.network, kept=turned.network.kept)
        return _rival(scenario, replace(setup, network=network), turned, facts)

    return {f"the filter hung {other.replace('-', ' ')}": make}


def _without_a_fault(
    scenario: Scenario, solved: Section, facts: Facts
) -> dict[str, Callable[[], LessonSession]]:
    """Sessions that lack one of the lesson's own faults, by its title: what that fault alone has done."""
    from glasscan.faults.fault_data import faults

    def make(code: str) -> LessonSession:
        from glasscan.learning.assemble import rig_setup

        rest = tuple(ill for ill in scenario.faults if ill.fault != code)
        better = scenario.model_copy(update={"faults": rest})
        return _rival(better, rig_setup(better, solved), solved, facts)

    own = [faults()[ill.fault] for ill in scenario.faults]
    return {f"without: {fault.title.lower()}": partial(make, fault.fault) for fault in own}


def _rival(
    scenario: Scenario, setup: RigSetup, solved: Section, facts: Facts, differs: str = ""
) -> LessonSession:
    """A session on another setup of the same filter, for the half beside."""
    from glasscan.filters.carriers import Carriers

    shown = copy(solved)
    shown.network = setup.network  # the picture asks it for the losses at the ports
    marks = Carriers(solved, CARRIERS // 2, scenario.seed)
    session = LessonSession(facts, RecordedRig(setup), cast("contract.Section", shown), marks)
    session.differs = differs
    session.own_faults = at_start(scenario)
    return session


def faulty(
    scenario: Scenario, setup: RigSetup, solved: Section, facts: Facts
) -> dict[str, Callable[[], LessonSession]]:
    """Sessions with one grave fault each, of those that act on this filter with the regulator where it is."""
    from glasscan.faults.apply import apply
    from glasscan.faults.fault_data import acting

    def make(fault: Fault) -> LessonSession:
        sick = _rival(scenario, apply(fault, 1.0, setup), solved, facts)
        sick.own_faults = (*sick.own_faults, ShownFault(fault.fault, 1.0))
        return sick

    kind = facts.filter_data.kind
    return {f.title: partial(make, f) for f in acting(kind, setup.regulator)}


def _go_on(session: LessonSession, left: ResumeState, tell: Progress) -> None:
    """Back to the moment left, with the controls moved as they were; as far as they still can be."""
    end = max(left.t_s, 1e-9)
    changes = [(c.t_s, c.key, c.value) for c in left.changes]
    with contextlib.suppress(ValueError, BadInput):
        session.repeat(
            min(left.t_s, session.facts.end_s), changes, lambda t: tell(t / end, "Going back to it")
        )
    hurry(session.carriers, session.section.frame(session.snapshot), SETTLE)


def facts_of(scenario: Scenario, solved: Section) -> Facts:
    """What the window says about the lesson and offers to change."""
    from glasscan.learning.catalogue import load_filter, load_plant
    from glasscan.rig.params import si_params

    start = scenario.start
    oil_c = scenario.air_c if start.oil_c is None else start.oil_c
    valve, data = solved.network.valve, load_filter(scenario.filter)
    return Facts(
        title=scenario.title,
        about=scenario.about,
        safety=scenario.safety,
        filter_title=data.title,
        end_s=scenario.end_s,
        cracking_pa=valve.cracking_pa if valve else None,
        reseat_pa=(valve.preload_n - valve.friction_n) / valve.seat_area_m2 if valve else None,
        seat_m2=valve.seat_area_m2 if valve else 0.0,
        max_lift_m=valve.max_lift_m if valve else 0.0,
        fluids=fluid_titles(scenario.fluid),
        filter_data=data,
        scenario=scenario.scenario,
        seed=scenario.seed,
        lines=lines_of(scenario),
        sound=si_params(load_plant(scenario.plant.rig)),
        top_rpm=top_rpm(scenario),
        cold_start=oil_c < COLD_START_C and start.gallery_fill < 1.0,
    )


def top_rpm(scenario: Scenario) -> float:
    """Highest shaft speed of a lesson as written, rev/min."""
    speeds = [float(line.to) for line in scenario.timeline if getattr(line, "set", "") == "rpm"]
    return max([scenario.start.rpm, *speeds])


def fluid_titles(own: str) -> dict[str, str]:
    """Names and short titles of the oils whose name begins as that of `own`; multigrades beside SAE oils."""
    from glasscan.learning.catalogue import load_fluid, names

    head = own.split("-")[0]
    heads = {head, "multigrade"} if head == "sae" else {head}
    chosen = [name for name in names("fluids") if name == own or name.split("-")[0] in heads]
    return {name: _short(load_fluid(name), name) for name in chosen}


def _short(fluid: Any, name: str) -> str:
    title = str(getattr(fluid, "title", "") or name.replace("-", " "))
    return title.split(" (")[0].replace("sae", "SAE").replace("15w", "15W")
