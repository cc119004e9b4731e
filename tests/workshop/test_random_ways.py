"""Random ways through every job, typed as a user types them: `glasscan job NAME --steps ... --json`.

What may not pass is judged here from the machine that the command prints, by rules of its own and with the
torques of the invented manual, not by what the program derives. Ways are the best one with steps left out,
exchanged, done the common wrong way or with another choice of the hand, so that many of them nearly pass.
"""

from __future__ import annotations

import contextlib
import io
import json
from typing import Any

import pytest
from glasscan.cli.main import main
from glasscan.learning.manual import manual_line
from glasscan.workshop.machine import machine_before
from glasscan.workshop.machine_data import machines_data
from glasscan.workshop.procedures.job import Job, best_way, states_met
from glasscan.workshop.procedures.procedure_catalogue import load_procedure, procedure_names
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

ALL = [(n, k) for n in procedure_names() for k in load_procedure(n).filters]
TORQUES = {
    "drain": "piston.torque-drain",
    "screen": "piston.torque-drain",
    "filter": "piston.torque-spin-on",
    "bowl": "piston.torque-bowl-bolt",
    "cover": "radial.torque-cover",
}
CHOSEN = {
    "torque": ("0", "3", "15", "24", "33", "45", "80"),
    "with": tuple(x.id for x in machines_data().lubricants),
    "hole": ("12", "2", "4", "6", "8", "10"),
    "twists": ("0", "2", "7", "15"),
    "litres": ("0", "2", "8"),
    "leak": ("done", "not-done"),
    "wrench": ("0", "23"),
    "lay": ("d+30*sbd", "d+60*sbd", "d", "ddd", "d+59*sbd+bd"),
}
NEVER = {
    "gasket": ("penetrant", "sealant", "dry"),
    "o-ring": ("penetrant", "sealant", "bench-grease", "dry"),
    "washer": ("sealant",),
}
"""What is never put on a seal, by its kind; a dry ring drags and folds (common practice, no source)."""


def told(*words: str) -> dict[str, Any]:
    """What the command prints; a traceback or another exit code fails."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        assert main(["job", *words, "--json"]) == 0
    found: dict[str, Any] = json.loads(out.getvalue())
    return found


def done(name: str, kind: str, met: tuple[str, ...], steps: list[str]) -> dict[str, Any]:
    """A way through a job."""
    return told(name, "--filter", kind, "--met", ",".join(met), "--steps", ",".join(steps))


@st.composite
def ways(draw: st.DrawFn, name: str, kind: str) -> tuple[tuple[str, ...], list[str]]:
    """States met, and the best way for them with some changes."""
    procedure = load_procedure(name, kind)
    states = states_met(procedure)
    met = tuple(draw(st.lists(st.sampled_from(states), unique=True, max_size=2))) if states else ()
    way = list(best_way(Job(procedure, 1, met)))
    for _ in range(draw(st.integers(0, 6))):
        _change(draw, way, procedure)
    return met, way


def _change(draw: st.DrawFn, way: list[str], procedure: Any) -> None:
    if not way:
        return
    i, j = (draw(st.integers(0, len(way) - 1)) for _ in range(2))
    word = way[i].split(":")[0]
    step = procedure.by_id.get(word)
    match draw(st.sampled_from(("drop", "move", "slip", "choose", "choose", "trap", "extra"))):
        case "drop":
            way.pop(i)
        case "move":
            way.insert(j, way.pop(i))
        case "slip" if step and step.slip:
            way[i] = f"{word}:slip"
        case "choose":
            asks = [k for k in asked(procedure, word) if k in CHOSEN]
            if asks:
                key = draw(st.sampled_from(asks))
                way[i] = f"{word}:{key}={draw(st.sampled_from(CHOSEN[key]))}"
        case "trap" | "extra":
            there = {s.split(":")[0] for s in way}
            more = [x for x in (*procedure.traps, *procedure.by_id) if x not in there]
            if more:
                way.insert(j, draw(st.sampled_from(more)))


def asked(procedure: Any, word: str) -> tuple[str, ...]:
    """What the tray lets the hand choose at a step."""
    found = {c.id: c.asks for c in Job(procedure, 1, ()).cards}
    return tuple(found.get(word, ()))


def faults_of(kind: str, machine: dict[str, Any], events: list[dict[str, str]]) -> list[str]:
    """Why nobody may release this machine, by rules of the trade; empty where one may."""
    what, found = machines_data().machines[kind], [e["text"] for e in events if e["harm"] != "none"]
    fresh = machine_before(kind).joints
    for name, j in machine["joints"].items():
        if not j["closed"]:
            found.append(f"{name} open")
            continue
        touched = j["torque_nm"] != fresh[name].torque_nm or j["rings"] != ["old"] or j["wire"] != "right"
        line = manual_line(TORQUES[name]) if name in TORQUES else None
        low, high = (line.value, line.up_to) if line else machines_data().joints[name].torque_nm[:2]
        if not low <= j["torque_nm"] <= high:
            found.append(f"{name} at {j['torque_nm']} N m")
        if len(j["rings"]) != 1 or (touched and j["rings"] == ["old"]):
            found.append(f"{name} sealed by {j['rings']}")
        if j["wire"] != "right":
            found.append(f"{name} wired {j['wire']}")
        if touched and j["lubricant"] in NEVER[machines_data().joints[name].ring]:
            found.append(f"{name} wetted with {j['lubricant']}")
    if machine["oil_l"]["sump"] < what.min_l:
        found.append("too little oil")
    if machine["running"]:
        found.append("left running")
    return [*found, *inside(machine["parts"])]


def inside(parts: dict[str, str]) -> list[str]:
    """Parts that do not lie where they belong after the work."""
    found = []
    for name, place in parts.items():
        old = parts.get("old-" + name.removeprefix("new-"))
        if name.startswith("new-") and old == "machine":
            continue  # the old one was never taken out
        if not name.startswith("old-") and place != "machine":
            found.append(f"{name} is in the {place}")
    return found


def books(name: str, kind: str, machine: dict[str, Any]) -> None:
    """Oil and parts are where they were or somewhere else; none is new and none is gone."""
    procedure = load_procedure(name, kind)
    before = machine_before(procedure.machine_kind, procedure.begins)
    assert sum(machine["oil_l"].values()) == pytest.approx(sum(before.oil_l.values()), abs=0.01)
    assert min(machine["oil_l"].values()) >= 0.0
    assert set(machine["parts"]) == set(before.parts)
    assert set(machine["joints"]) == set(before.joints)


@pytest.mark.parametrize(("name", "kind"), ALL)
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(data=st.data())
def test_any_way_through_a_job(name: str, kind: str, data: st.DataObject) -> None:
    """No crash, books closed, no pass for what is open, loose, bare, wetted wrongly or empty."""
    met, way = data.draw(ways(name, kind))
    if not way:
        return
    result = done(name, kind, met, way)
    books(name, kind, result["machine"])
    procedure = load_procedure(name, kind)
    worked = procedure.begins != "bench"
    wrong = faults_of(procedure.machine_kind, result["machine"], result["happened"]) if worked else []
    assert not (result["passed"] and wrong), (way, wrong)
    assert not (result["passed"] and result["stopped"])
    assert 0.0 <= result["share"] <= 1.0


FAR = {
    "torque": ("0", "80"),
    "with": ("dry", "penetrant", "sealant"),
    "hole": ("4", "6", "8"),
    "twists": ("2",),
}


@pytest.mark.parametrize(("name", "kind"), ALL)
def test_one_wrong_choice_of_the_hand_does_not_pass(name: str, kind: str) -> None:
    """A loose or torn joint, a seal wetted wrongly or not at all, a wire that loosens or is slack."""
    procedure = load_procedure(name, kind)
    best = list(best_way(Job(procedure, 1, ())))
    for step in best:
        for key in asked(procedure, step):
            for value in FAR.get(key, ()):
                result = done(name, kind, (), [f"{s}:{key}={value}" if s == step else s for s in best])
                wrong = faults_of(procedure.machine_kind, result["machine"], result["happened"])
                assert not (result["passed"] and wrong), (step, key, value, wrong)


@pytest.mark.parametrize(("name", "kind"), ALL)
def test_the_best_way_passes(name: str, kind: str) -> None:
    """Typed as its own list of steps: full marks, nothing refused, a machine that one may release."""
    procedure = load_procedure(name, kind)
    for met in ((), states_met(procedure)):
        result = done(name, kind, met, list(best_way(Job(procedure, 1, met))))
        assert (result["share"], result["passed"], result["refused"]) == (1.0, True, [])
    result = done(name, kind, (), list(best_way(Job(procedure, 1, ()))))
    if procedure.begins != "bench":
        assert faults_of(procedure.machine_kind, result["machine"], result["happened"]) == []


WRONG = [(n, k, s.id) for n, k in ALL for s in load_procedure(n, k).steps if s.slip]


@pytest.mark.parametrize(("name", "kind", "step"), WRONG)
def test_each_common_wrong_way_leaves_what_it_names(name: str, kind: str, step: str) -> None:
    """The condition that the file names for it, or one that the machine shows; marks are lost."""
    procedure = load_procedure(name, kind)
    found, best = procedure.by_id[step], list(best_way(Job(procedure, 1, ())))
    if step not in best:
        best.append(step)
    result = done(name, kind, (), [f"{s}:slip" if s == step else s for s in best])
    left = {x["condition"] for x in result["left"]}
    assert result["share"] < 1.0
    if found.slip_gives:
        assert found.slip_gives in left
    elif procedure.begins != "bench" and not result["refused"]:
        hidden = any(c for c in (*found.mends, *found.finds))
        assert left or result["happened"] or hidden
