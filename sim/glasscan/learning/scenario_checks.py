"""What must hold across a whole scenario and no single field can know."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from pydantic import BaseModel

from glasscan.content import nearest
from glasscan.content.fields import key_paths
from glasscan.content.problems import Path, dotted
from glasscan.content.record_loading import Finding
from glasscan.content.unit_words import BY_SUFFIX, unit_of_word
from glasscan.learning import prompt_schema as ask
from glasscan.learning.ask_wording import holes, values
from glasscan.learning.catalogue import Kind, load_filter, load_plant, names
from glasscan.learning.prompts import form_of
from glasscan.learning.question_type import type_of, type_of_piece
from glasscan.learning.run_quantities import unit_of
from glasscan.learning.scenario_schema import Scenario, SetPlant
from glasscan.learning.syllabus import codes
from glasscan.learning.vocabulary import EVENTS, columns, has_column

PREDICT_SHARE = 0.1
"""Largest share of all marks that predictions may carry: an honest wrong one costs little (PRACTICE)."""


def same_name(stem: str) -> Callable[[Scenario], Iterator[Finding]]:
    """Check that a scenario is called like its file."""

    def check(scenario: Scenario) -> Iterator[Finding]:
        if scenario.scenario != stem:
            yield ("scenario",), f"expected the name of the file, '{stem}', found '{scenario.scenario}'", stem

    return check


def parts_exist(scenario: Scenario) -> Iterator[Finding]:
    """Check that oil, filter and rig are there."""
    yield from _known(("filter",), "filters", scenario.filter)
    yield from _known(("fluid",), "fluids", scenario.fluid)
    yield from _known(("plant", "rig"), "plants", scenario.plant.rig)
    for i, line in enumerate(scenario.timeline):
        if line.set == "fluid":
            yield from _known(("timeline", i, "to"), "fluids", line.to)
        elif line.set == "plant":
            yield from _plant_number(scenario, i)


def scraper_there(scenario: Scenario) -> Iterator[Finding]:
    """Check that blades are turned and a bowl is drained only where the filter has them."""
    lines = [i for i, line in enumerate(scenario.timeline) if line.set in ("scraper_turns", "drain_bowl")]
    known = lines and scenario.filter in names("filters")
    if known and load_filter(scenario.filter).kind != "disc":
        yield ("timeline", lines[0], "set"), f"the filter '{scenario.filter}' has no scraper", None


def can_hang_so(scenario: Scenario) -> Iterator[Finding]:
    """Check that only a spin-on is hung in another way: a bowl always hangs under its head."""
    known = scenario.hangs is not None and scenario.filter in names("filters")
    if known and load_filter(scenario.filter).kind != "can":
        yield (
            ("hangs",),
            "only a spin-on filter hangs in more than one way: a bowl hangs under its head",
            None,
        )


def faults_act(scenario: Scenario) -> Iterator[Finding]:
    """Check that every fault is one that acts on this filter with the regulator where it is, named once."""
    if not scenario.faults or scenario.filter not in names("filters"):
        return
    from glasscan.faults.fault_data import acting, faults

    kind, layout = load_filter(scenario.filter).kind, scenario.plant.regulator
    here, seen = [fault.fault for fault in acting(kind, layout)], set[str]()
    for i, ill in enumerate(scenario.faults):
        path: Path = ("faults", i, "fault")
        if ill.fault not in faults():
            yield path, f"there is no fault '{ill.fault}'", nearest(ill.fault, list(faults()))
        elif ill.fault not in here:
            yield path, f"'{ill.fault}' does not occur on a {kind} filter, regulator {layout} it", None
        elif ill.fault in seen:
            yield path, f"'{ill.fault}' stands twice", None
        seen.add(ill.fault)
        yield from _can_come(scenario, i)


def _can_come(scenario: Scenario, i: int) -> Iterator[Finding]:
    """Check that a fault with an onset is one that a running rig can get, within the run."""
    from glasscan.faults.fault_data import faults
    from glasscan.faults.schedule import at_start_only

    ill = scenario.faults[i]
    fault = faults().get(ill.fault)
    if fault is None or not ill.comes:
        return
    if at_start_only(fault):
        text = f"'{ill.fault}' is there from the start or not at all: expected no at_s, over_s or on_pulse"
        yield ("faults", i, "fault"), text, None
    if ill.on_pulse and fault.onset != "on-pulse":
        yield ("faults", i, "on_pulse"), f"'{ill.fault}' does not wait for a pulse: expected at_s", None
    if ill.at_s > scenario.end_s:
        yield ("faults", i, "at_s"), f"expected a time within the run (end_s = {scenario.end_s:g} s)", None


def _plant_number(scenario: Scenario, i: int) -> Iterator[Finding]:
    """Check that a number of the rig is there and takes the value, before a run refuses it."""
    from glasscan.rig.controls import with_number
    from glasscan.rig.plant_data import PlantData

    line = scenario.timeline[i]
    assert isinstance(line, SetPlant)
    known = [dotted(p) for p in key_paths(PlantData) if len(p) == 2]
    if line.key not in known:
        yield ("timeline", i, "key"), f"the rig has no number '{line.key}'", nearest(line.key, known)
        return
    if scenario.plant.rig not in names("plants"):
        return
    try:
        with_number(load_plant(scenario.plant.rig), line.key, line.to)
    except ValueError as error:
        yield ("timeline", i, "to"), str(error), None


def codes_known(scenario: Scenario) -> Iterator[Finding]:
    """Check that the syllabus has every code the lesson and its prompts name."""
    here: list[tuple[Path, str]] = [(("codes", i), code) for i, code in enumerate(scenario.codes)]
    for i, prompt in enumerate(scenario.prompts):
        here += [(("prompts", i, "codes", k), code) for k, code in enumerate(prompt.codes)]
    known = codes() if here else ()
    for path, code in here:
        if code not in known:
            yield path, f"no such code in assets/syllabus.yaml: '{code}'", nearest(code, known)


def vary_fits(scenario: Scenario) -> Iterator[Finding]:
    """Check that what varies from paper to paper is a key of this scenario."""
    known = dict(values(scenario.model_dump()))
    for i, line in enumerate(scenario.vary):
        if line.key not in known and not line.key.startswith("timeline."):
            yield ("vary", i, "key"), f"no key of this scenario: '{line.key}'", nearest(line.key, known)


def timeline_fits(scenario: Scenario) -> Iterator[Finding]:
    """Check that the timeline lies within the run and that no ramp of a control is cut by the next."""
    busy: dict[str, float] = {}
    for i, line in enumerate(scenario.timeline):
        path: Path = ("timeline", i, "at_s")
        if line.at_s > scenario.end_s:
            yield path, f"expected a time within the run (end_s = {scenario.end_s:g} s)", None
        if line.at_s < busy.get(line.set, 0.0):
            yield path, f"the line before it moves {line.set} until {busy[line.set]:g} s", None
        busy[line.set] = line.at_s + getattr(line, "over_s", 0.0)


def notes_fit(scenario: Scenario) -> Iterator[Finding]:
    """Check that notes for the presenter name events that there are; one past the end is merely never due."""
    for i, note in enumerate(scenario.notes):
        yield from _piece(note, ("notes", i), {})


def prompts_fit(scenario: Scenario) -> Iterator[Finding]:
    """Check what the prompts name: ids, events, units, placeholders, choices and marks."""
    seen: set[str] = set()
    for i, prompt in enumerate(scenario.prompts):
        here: Path = ("prompts", i)
        if prompt.id in seen:
            yield (*here, "id"), f"duplicate id '{prompt.id}'", None
        seen.add(prompt.id)
        yield from _pieces(prompt, here, dict(values(scenario.model_dump())))
        if scenario.filter in names("filters"):  # one that is not there is told by a check of its own
            form = form_of(prompt)
            at: Path = here if form is prompt else (*here, "answer")
            yield from type_of(form).check_filter(form, at, scenario.filter)
    yield from _predictions_weigh_little(scenario)


def _predictions_weigh_little(scenario: Scenario) -> Iterator[Finding]:
    total = sum(p.marks for p in scenario.prompts)
    predicted = [(i, p) for i, p in enumerate(scenario.prompts) if isinstance(p, ask.PREDICTIONS) and p.marks]
    if predicted and sum(p.marks for _, p in predicted) > PREDICT_SHARE * total * (1 + 1e-12):
        text = f"expected predictions to carry at most a tenth of all {total:g} marks"
        yield ("prompts", predicted[0][0], "marks"), text, None


def _pieces(piece: Any, here: Path, known: dict[str, str]) -> Iterator[Finding]:
    """Findings of a prompt and of everything inside it."""
    yield from _piece(piece, here, known)
    for name, value in piece if isinstance(piece, BaseModel) else ():
        if isinstance(value, BaseModel):
            yield from _pieces(value, (*here, name), known)
        elif isinstance(value, tuple):
            for i, item in enumerate(value):
                if isinstance(item, BaseModel):
                    yield from _pieces(item, (*here, name, i), known)


def _piece(piece: BaseModel, here: Path, known: dict[str, str]) -> Iterator[Finding]:
    for name in ("event", "after", "until"):
        word = getattr(piece, name, None)
        if isinstance(word, str) and word not in EVENTS:
            yield (*here, name), f"expected one of {', '.join(EVENTS)}, found '{word}'", nearest(word, EVENTS)
    for name in ("trace", "lift"):
        yield from _column_known((*here, name), getattr(piece, name, None))
    for name in ("ask", "text"):
        for hole in holes(getattr(piece, name, "")):
            if hole not in known:
                yield (*here, name), f"{{{hole}}} is no key of this scenario", nearest(hole, known)
    if isinstance(piece, ask.NumberOfRun):
        yield from _unit_fits(piece, here)
    if (kind := type_of_piece(piece)) is not None:
        yield from kind.check(piece, here)


def _column_known(path: Path, name: str | None) -> Iterator[Finding]:
    if name is not None and not has_column(name):
        known = columns()
        yield (
            path,
            f"the trace has no column '{name}': expected one of {', '.join(known)}",
            nearest(name, known),
        )


def _unit_fits(piece: ask.NumberOfRun, here: Path) -> Iterator[Finding]:
    unit, own = unit_of_word(piece.unit), unit_of(piece.quantity)
    if own is None:
        return
    same = [u.sign for u in BY_SUFFIX.values() if u.kind == own.kind]
    if unit is None or unit.kind != own.kind:
        text = f"expected a unit of {own.kind}: {', '.join(same)}, found '{piece.unit}'"
        yield (*here, "unit"), text, nearest(piece.unit, same)


def _known(path: Path, kind: Kind, name: str) -> Iterator[Finding]:
    known = names(kind)
    if name not in known:
        yield path, f"expected one of {', '.join(known) or 'none'}, found '{name}'", nearest(name, known)
