"""The record as somebody writes it, field by field, held against the machine as it stands at that moment."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from glasscan.workshop.act_basics import Args, number
from glasscan.workshop.machine import BadChoiceError, Machine
from glasscan.workshop.machine_data import machines_data

NEAR_NM, NEAR_H = 1.0, 0.05
"""How near a written torque lies to the wrench, N m, and hours to the meter, h: a reading's last digit."""


@dataclass(frozen=True)
class RecordField:
    """One field of the record.

    Attributes:
        key: as it is typed.
        title: for people.
        options: closed answers, word to text; empty where a number or a word is written.
        truth: what the machine says, or None where the field is not due.
        unit: of a number.
    """

    key: str
    title: str
    options: Mapping[str, str]
    truth: Callable[[Machine], str | None]
    unit: str = ""


def worked_joint(m: Machine) -> str | None:
    """The joint of the filter, where it was opened in this work and is closed again."""
    name = m.what.joints[-1]
    now = m.joints[name]
    return name if now.touched and now.closed else None


def _torque(m: Machine) -> str | None:
    joint = worked_joint(m)
    return f"{m.joints[joint].torque_nm:g}" if joint else None


def _line(m: Machine) -> str | None:
    joint = worked_joint(m)
    if joint is None or m.what.drive == "pump":
        return None  # the sheet of the hydraulic rig gives no line for its bowl
    return m.kind_of(joint).line if "manual" in m.notes else "none"


def _part(m: Machine) -> str | None:
    new = any(p.startswith("new-") and place == "machine" for p, place in m.parts.items())
    return m.what.part_no if new else None


def _waste(m: Machine) -> str | None:
    out = any(p.startswith("old-") and place != "machine" for p, place in m.parts.items())
    return ("drums" if "waste" in m.notes else "open") if out else None


def _opened(m: Machine) -> bool:
    return any(j.touched for j in m.joints.values())


def _lines() -> dict[str, str]:
    """References that may be written: one for each joint, or none."""
    found = {j.line: j.line for j in machines_data().joints.values() if j.line}
    return {**found, "none": "no manual at hand"}


FIELDS: tuple[RecordField, ...] = (
    RecordField(
        "answer", "Work", {"done": "done", "stopped": "stopped, tagged"},
        lambda m: "stopped" if "tagged" in m.notes else "done",
    ),
    RecordField("hours", "Hour meter", {}, lambda m: f"{m.what.meter_h:g}", "h"),
    RecordField("part", "Part number", {}, _part),
    RecordField("wrench", "Filter torque", {}, _torque, "N m"),
    RecordField("reference", "Reference", _lines(), _line),
    RecordField(
        "leak", "Leak check", {"done": "done, engine stopped", "not-done": "not done"},
        lambda m: ("done" if m.looked else "not-done") if _opened(m) else None,
    ),
    RecordField(
        "tools", "Tools count", {"all-there": "counted, all there", "not-counted": "not counted"},
        lambda m: "all-there" if m.counted_in else "not-counted",
    ),
    RecordField("waste", "Old parts", {"drums": "tagged, in their drums", "open": "not settled"}, _waste),
    RecordField(
        "second", "Second person", {"inspected": "has inspected", "not-called": "not called"},
        lambda m: ("inspected" if "inspected" in m.notes else "not-called") if _opened(m) else None,
    ),
    RecordField("who", "Written by", {}, lambda _: ""),
)  # fmt: skip
"""Fields in the order in which they stand on the sheet; machine gives the truth of each."""
KEYS = tuple(f.key for f in FIELDS)


def due_fields(m: Machine) -> tuple[RecordField, ...]:
    """Fields that this machine asks for after this work."""
    return tuple(f for f in FIELDS if f.truth(m) is not None)


def written(m: Machine, _: str, args: Args) -> Machine:
    """Write the record; nothing chosen is a record as the machine stands.

    Raises:
        BadChoiceError: no such answer, or no number.
    """
    m = m.noted("record")
    if not args:
        return m
    entry = {key: args[key].strip() for key in KEYS if key in args}
    for one in FIELDS:
        if one.key in entry:
            _readable(one, entry[one.key])
    false = tuple(_false(m, f, entry[f.key]) for f in FIELDS if f.key in entry and not _true(m, f, entry))
    thin = tuple(f.title for f in due_fields(m) if not entry.get(f.key))
    m = m.but(entry=entry)
    if false:
        m = m.noted("record-false")
    if thin:
        m = m.noted("record-thin").found(f"The record is silent on: {', '.join(thin).lower()}.")
    for text in false:
        m = m.found(text)
    return m


def _readable(field: RecordField, text: str) -> None:
    if field.options and text and text not in field.options:
        raise BadChoiceError(f"{field.key}: expected {' or '.join(field.options)}, found '{text[:40]}'")
    if field.unit and text:
        number(text, 0.0, field.key, 0.0, 1e5)


def _true(m: Machine, field: RecordField, entry: Mapping[str, str]) -> bool:
    truth, text = field.truth(m), entry[field.key]
    if not text or field.key == "who":
        return True  # silence is no lie; who wrote it is for the person in charge to judge
    if truth is None:
        return False
    if field.unit:
        near = NEAR_NM if field.unit == "N m" else NEAR_H
        return abs(float(text) - float(truth)) <= near
    return text.casefold() == truth.casefold()


def _false(m: Machine, field: RecordField, text: str) -> str:
    truth = field.truth(m)
    is_so = "no such work was done" if truth is None else f"it is {_shown(field, truth)}"
    return f"The record says “{field.title.lower()}: {_shown(field, text)}”; {is_so}."


def _shown(field: RecordField, word: str) -> str:
    return f"{field.options.get(word, word)}{' ' + field.unit if field.unit else ''}"
