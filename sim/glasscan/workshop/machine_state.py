"""What the state of a machine leaves for the next run, and what of it forbids a release."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from glasscan.workshop.machine import Machine
from glasscan.workshop.machine_data import machines_data
from glasscan.workshop.stack_pieces import stack_faults


@dataclass(frozen=True)
class Derived:
    """A condition that follows from the state.

    Attributes:
        condition: id in the conditions file.
        verb, thing: the act whose step leaves it, such as ("close", "drain").
        unsafe: a machine in this state is not fit to be released.
    """

    condition: str
    verb: str
    thing: str
    unsafe: bool = True


def derived(m: Machine) -> tuple[Derived, ...]:
    """Everything that is open, loose, doubled, dry, empty, inside or left over."""
    found = [*(d for name in m.joints for d in _joint(m, name)), *_oil(m), *_parts(m), *_checks(m)]
    once: dict[str, Derived] = {}
    for one in found:
        once.setdefault(one.condition, one)
    return tuple(once.values())


def _joint(m: Machine, name: str) -> Iterator[Derived]:
    now, kind = m.joints[name], m.kind_of(name)
    if not now.closed:
        yield Derived(kind.open_gives, "close", name)
        return
    low, high, _ = kind.torque_nm
    if not now.rings:
        yield Derived(kind.bare_gives, "ring-in", name)
    if len(now.rings) > 1:
        yield Derived(kind.two_gives, "ring-out", name)
    if now.touched and now.rings == ("old",):
        yield Derived("seal-used-again", "ring-in", name)
    if now.touched and "new" in now.rings:
        yield from _wetting(now.lubricant, kind.ring, name)
    if now.torque_nm < low:
        yield Derived(kind.loose_gives, "close", name)
    if now.torque_nm > high:
        yield Derived("over-tight" if not now.damaged else "joint-torn", "close", name)
    elif now.damaged:
        yield Derived("joint-torn", "unwire", name)
    if kind.wire and now.wire != "right":
        yield Derived("not-lockwired" if now.wire == "none" else "wired-wrong", "wire", name)


def _wetting(lubricant: str, ring: str, joint: str) -> Iterator[Derived]:
    fit = machines_data().rings[ring].fit(lubricant)
    gives = {"dry": "dry-seal", "swells": "seal-swollen", "dirties": "sealant-let-in"}.get(fit)
    if gives:
        yield Derived(gives, "lube", joint, fit != "dry")


def _oil(m: Machine) -> Iterator[Derived]:
    in_it = m.oil_l["sump"] + m.oil_l["filter"]
    if in_it < 0.2 * m.what.sump_l:
        yield Derived("sump-empty", "fill", "sump")
    elif m.oil_l["sump"] < m.what.min_l:
        yield Derived("low-oil", "fill", "sump")
    if m.grade_wrong:
        yield Derived("wrong-oil", "fill", "sump")
    if "ran-dry" in m.notes:
        yield Derived("no-pressure-run-on", "fill", "sump")
    still_empty = m.kind != "can" and m.oil_l["filter"] <= 0.0 and not m.open_joints
    if still_empty or "ran-empty" in m.notes:
        yield Derived("bowl-empty", "fill", "filter", unsafe=False)
    if m.oil_l["floor"] > 0.5:
        yield Derived("oil-on-the-floor", "wipe", "", unsafe=False)


INSIDE = {
    "suction-screen": ("screen-left-out", "fit"),
    "spring": ("grommet-missing", "fit"),
    "lower-grommet": ("grommet-missing", "fit"),
    "upper-grommet": ("grommet-missing", "fit"),
    "new-element": ("element-left-out", "fit"),
    "pack": ("element-left-out", "fit"),
    "spigot-ring": ("nicked-ring", "fit"),
    "bolt-washer": ("drain-loose", "fit"),
    "back-up-ring": ("nicked-ring", "fit"),
    "cover-screws": ("loose-filter", "fit"),
    "gland-packing": ("seal-left-out", "fit"),
}
"""Parts that belong into the machine, what their absence gives, and the act that puts them in."""


def _parts(m: Machine) -> Iterator[Derived]:
    """What was taken out and not put back; new parts count from when the old one is out."""
    opened = any(j.touched for j in m.joints.values())
    for part, (gives, verb) in INSIDE.items() if opened else ():
        place = m.parts.get(part)
        if place is None or place == "machine":
            continue
        if part.startswith("new-") and m.parts.get("old" + part.removeprefix("new")) == "machine":
            continue
        yield Derived(gives, verb, part)
    if "forced" in m.notes:
        yield Derived("blade-bent", "force", "handle")
    if m.outside:
        yield Derived("tool-left", "count", "")
    if m.lay:
        yield from (Derived(c, "lay", "") for c in stack_faults(m.lay))


def _checks(m: Machine) -> Iterator[Derived]:
    if any(j.touched for j in m.joints.values()) and not (m.ran and m.looked):
        yield Derived("leak-not-seen", "look-leaks", "")
    if "record-false" in m.notes:
        yield Derived("record-false", "record", "", unsafe=False)
    if "record-thin" in m.notes:
        yield Derived("record-thin", "record", "", unsafe=False)
