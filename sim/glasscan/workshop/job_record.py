"""The record of a job as the machine stands: joints, torque, lubricant, parts tags, waste."""

from __future__ import annotations

from typing import Any

from glasscan.workshop.machine import Machine
from glasscan.workshop.machine_data import machines_data
from glasscan.workshop.procedures.procedure_walk import Outcome

WORLD = "invented training record"
TAG = "removed, not to be fitted again"


def job_record(outcome: Outcome, title: str) -> dict[str, Any]:
    """A structured entry: item, answer, numbers with units, parts, findings; what was not done is open.

    Args:
        outcome: of the job.
        title: of the job.
    """
    m = outcome.machine
    return {
        "world": WORLD,
        "item": title,
        "answer": "stopped" if m.ended else "done" if not outcome.left_out else "not finished",
        "joints": [_joint(m, name) for name, j in m.joints.items() if j.touched],
        "parts_tags": [{"part": p, "tag": TAG} for p in _removed(m)],
        "waste": "in its drums" if "waste" in m.notes else "not settled",
        "level_l": round(m.oil_l["sump"], 2),
        "leak_check": "done" if m.looked else "not done",
        "tools": "counted, all there" if m.counted_in else "not counted",
        "second_person": "inspected" if "inspected" in m.notes else "not called",
        "findings": list(outcome.findings),
        "reference": "manual at hand" if "manual" in m.notes else "none",
        "written": "record" in m.notes,
        "as_written": dict(m.entry),
        "true": "record-false" not in m.notes,
        "hour_meter_h": m.what.meter_h,
    }


def _joint(m: Machine, name: str) -> dict[str, Any]:
    j, kind = m.joints[name], m.kind_of(name)
    titles = {x.id: x.title for x in machines_data().lubricants}
    return {
        "joint": kind.title, "closed": j.closed, "torque_nm": j.torque_nm,
        "asked_nm": list(kind.torque_nm[:2]), "seals": list(j.rings),
        "lubricant": titles[j.lubricant], "lockwire": j.wire,
    }  # fmt: skip


def _removed(m: Machine) -> list[str]:
    out = (part for part, place in m.parts.items() if part.startswith("old-") and place != "machine")
    return [part.replace("-", " ") for part in out]


def record_words(told: dict[str, Any]) -> str:
    """The entry in lines, for people."""
    lines = [f"{told['item']}: {told['answer']}."]
    for j in told["joints"]:
        low, high = j["asked_nm"]
        shut = f"{j['torque_nm']:g} N m (sheet {low:g} to {high:g})" if j["closed"] else "open"
        name = j["joint"][0].upper() + j["joint"][1:]
        lines.append(f"{name}: {shut}; {j['lubricant'].lower()}; lockwire {j['lockwire']}.")
    lines += [f"Tag: {t['part']}, {t['tag']}." for t in told["parts_tags"]]
    lines.append(
        f"Level {told['level_l']:g} L. Leak check {told['leak_check']}. Tools {told['tools']}. "
        f"Waste {told['waste']}. Second person {told['second_person']}. Reference: {told['reference']}."
    )
    return "\n".join(lines)
