"""From a scenario to a session at the screen: solve the filter, build the rig, work out the keys."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING, Any, cast

from sim.plant.records import Event, Snapshot
from sim.screens.contract import EngineStoppedError
from sim.screens.prompts import Answer, Card, PromptDesk, Result
from sim.screens.session import Facts, Session

if TYPE_CHECKING:
    from sim.filters.section import Section
    from sim.lessons.schema import Scenario
    from sim.plant.runlog import RunLog
    from sim.plant.setup import RigSetup
    from sim.screens import contract

CARRIERS = 1100
Progress = Callable[[float, str], None]


class RecordedRig:
    """The plant's recorder as the session's engine."""

    def __init__(self, setup: RigSetup) -> None:
        from sim.plant.recorder import Recorder

        self._recorder = Recorder(setup)

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
        from sim.plant.rig import RigFailedError

        try:
            self._recorder.step(dt_s)
        except RigFailedError as error:
            raise EngineStoppedError(f"{error}.") from error

    def rewind(self, t_s: float) -> None:
        """Go back to a moment."""
        self._recorder.rewind(t_s)

    def set(self, key: str, value: Any) -> None:
        """Change a control; an oil is given by name."""
        from sim.lessons.catalogue import load_fluid

        self._recorder.set(key, load_fluid(value) if key == "fluid" else value)


class KeyRun:
    """The run as the scenario file says, from which every key is read; worked out once."""

    def __init__(self, scenario: Scenario, setup: RigSetup) -> None:
        self.scenario, self.setup = scenario, setup
        self._log: RunLog | None = None

    def log(self, progress: Callable[[float, float], bool] | None = None) -> RunLog:
        """The finished run."""
        if self._log is None:
            from sim.plant.runner import run

            self._log = run(self.setup, progress=progress)
        return self._log

    def mark(self, prompt: Any, answer: Answer) -> Result:
        """Mark an answer against the run."""
        from sim.lessons.prompts import mark

        return mark(prompt, answer, self.log())

    def cards(self) -> list[Card]:
        """The scenario's prompts, ready to show."""
        from sim.lessons.prompts import asked, needs_run

        cards = []
        for prompt in self.scenario.prompts:
            a = asked(prompt, self.scenario, self.log() if needs_run(prompt) else None)
            cards.append(
                Card(
                    a.id,
                    a.when,
                    a.text,
                    "choice" if a.form == "number-choice" else a.form,  # both show lines to choose from
                    partial(self.mark, prompt),
                    a.choices,
                    a.unit,
                    a.units,
                    a.edges_s,
                )
            )
        return cards


@dataclass(frozen=True)
class Opened:
    """A session and its prompts."""

    session: Session
    prompts: PromptDesk


def _silent(share: float, what: str) -> None:
    """Tell nobody."""
    del share, what


def open_session(scenario: Scenario, progress: Progress | None = None, keys: bool = True) -> Opened:
    """Build everything a window needs; takes a few seconds.

    Args:
        scenario: what to show.
        progress: called with a share 0..1 and what is being done.
        keys: work out the run of the keys now where the scenario has prompts.

    Raises:
        BadInput: a data file it names is missing or bad.
    """
    tell = progress or _silent
    tell(0.05, "Solving the flow in the filter")
    from sim.filters.carriers import Carriers
    from sim.lessons.assemble import rig_setup, section

    solved = section(scenario)
    tell(0.45, "Building the rig")
    setup = rig_setup(scenario, solved)
    carriers = Carriers(solved, CARRIERS, scenario.seed)
    session = Session(
        facts_of(scenario, solved), RecordedRig(setup), cast("contract.Section", solved), carriers
    )
    run = KeyRun(scenario, setup)
    if scenario.prompts and keys:
        what = "Working out the answers"
        run.log(lambda t_s, end_s: tell(0.5 + 0.5 * t_s / end_s, what) is None)
    tell(1.0, "Ready")
    return Opened(session, PromptDesk(run.cards()))


def facts_of(scenario: Scenario, solved: Section) -> Facts:
    """What the window says about the lesson and offers to change."""
    from sim.lessons.catalogue import load_filter

    valve = solved.network.valve
    return Facts(
        title=scenario.title,
        about=scenario.about,
        safety=scenario.safety,
        filter_title=load_filter(scenario.filter).title,
        end_s=scenario.end_s,
        cracking_pa=valve.cracking_pa if valve else None,
        max_lift_m=valve.max_lift_m if valve else 0.0,
        fluids=fluid_titles(scenario.fluid),
    )


def fluid_titles(own: str) -> dict[str, str]:
    """Names and short titles of the oils whose name begins as that of `own`; multigrades beside SAE oils."""
    from sim.lessons.catalogue import load_fluid, names

    head = own.split("-")[0]
    heads = {head, "multigrade"} if head == "sae" else {head}
    chosen = [name for name in names("fluids") if name == own or name.split("-")[0] in heads]
    return {name: _short(load_fluid(name), name) for name in chosen}


def _short(fluid: Any, name: str) -> str:
    title = str(getattr(fluid, "title", "") or name.replace("-", " "))
    return title.split(" (")[0].replace("sae", "SAE").replace("15w", "15W")
