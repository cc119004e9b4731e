"""Joints, seals, parts and oil: what hands open, take out, wet, fit, close, wire, drain and fill."""

from __future__ import annotations

from math import cos, radians

from glasscan.workshop.act_basics import Args, number, reachable, stop_work, stopped, touch
from glasscan.workshop.machine import BadChoiceError, CannotError, Machine
from glasscan.workshop.machine_data import DRY, machines_data

LIVE = "The machine is not made safe: power is on, and the propeller or the pump may turn."
NO_LUBRICANT = "expected one of {known}, found '{found}'"


def unwire_joint(m: Machine, joint: str, args: Args) -> Machine:
    """Cut the lockwire of a joint, or tear it off with its hole."""
    touch(m, joint)
    if args.get("torn"):
        m = m.joint(joint, damaged=True).told(
            "The lockwire hole is torn out and swarf lies about.", "machine"
        )
    return m.joint(joint, wire="none")


def open_joint(m: Machine, joint: str, args: Args) -> Machine:
    """Open a joint: wire holds it, pressure ends the work, its oil runs into the tray."""
    del args
    now, title = m.joints[joint], m.kind_of(joint).title
    if not now.closed:
        raise CannotError(f"The {title} is open already.")
    if now.wire != "none":
        raise CannotError(f"The lockwire still holds the {title}.")
    if m.running:
        return stop_work(m, f"The {title} was loosened on a running machine. Hot oil sprays under pressure.")
    if m.pressure_kpa > 0.0:
        return stop_work(
            m,
            f"The {title} was loosened at {m.pressure_kpa:,.0f} kPa. A jet enters skin; the part flies off.",
        )
    if not m.safe:
        m = m.told(LIVE, "person")
    if m.what.drive == "pump" and not m.zero_read:
        m = m.told("Nobody has read zero on the gauge: the pressure is gone by luck only.", "person")
    if not m.protected:
        m = m.told("Oil ran over bare hands: no gloves, no eye protection.", "person")
    m = m.joint(joint, closed=False, torque_nm=0.0, touched=True)
    into = "drum" if m.counted_out else "floor"
    if m.kind_of(joint).under == "filter":
        m = m.poured(m.oil_l["filter"], "filter", into)
    return m.but(ran=False, looked=False)


def drain(m: Machine, joint: str, args: Args) -> Machine:
    """Let the oil above an open joint run out."""
    reachable(m, joint)
    del args
    where = m.kind_of(joint).under
    return m.poured(m.oil_l[where], where, "drum" if m.counted_out else "floor")


def take_part(m: Machine, part: str, args: Args) -> Machine:
    """Take a part out of an open joint."""
    stopped(m)
    holder = args.get("from")
    if holder:
        reachable(m, holder)
    if m.parts[part] != "machine":
        raise CannotError(f"The {part.replace('-', ' ')} is out already.")
    if part == "old-filter" and "old-gasket-on-head" not in m.present:
        m = m.joint("filter", rings=())  # the gasket comes off with the can; a stuck one stays on the head
    return m.part(part, "bench")


def fit_part(m: Machine, part: str, args: Args) -> Machine:
    """Put a part into an open joint."""
    holder = args.get("in")
    if holder:
        reachable(m, holder)
    if m.parts[part] == "waste":
        raise CannotError(f"The {part.replace('-', ' ')} is in the waste.")
    old = "old-" + part.removeprefix("new-")
    if part.startswith("new-") and m.parts.get(old) == "machine":
        raise CannotError(f"The {old.replace('-', ' ')} is still in its place.")
    if part == "new-filter":
        m = ring_in(m, "filter", {})
    return m.part(part, "machine")


def ring_out(m: Machine, joint: str, args: Args) -> Machine:
    """Take the old seals out of an open joint."""
    del args
    reachable(m, joint)
    return m.joint(joint, rings=tuple(r for r in m.joints[joint].rings if r != "old"))


def ring_in(m: Machine, joint: str, args: Args) -> Machine:
    """Lay a seal into an open joint, new or the old one again."""
    reachable(m, joint)
    which = args.get("which", "new")
    rings = m.joints[joint].rings
    if which in rings:
        raise CannotError("That ring lies in it already.")
    wet = m.prepared.get(joint, DRY) if which == "new" else "system-oil"
    return m.joint(joint, rings=(*rings, which), lubricant=wet)


def lube(m: Machine, joint: str, args: Args) -> Machine:
    """Wet a new seal, in the hand or in its place; what was never wetted is dry."""
    if "new" in m.joints[joint].rings:
        reachable(m, joint)
    kind = machines_data().rings[m.kind_of(joint).ring]
    chosen = args.get("with", kind.well[0])
    known = [x.id for x in machines_data().lubricants]
    if chosen not in known:
        raise BadChoiceError(f"with: {NO_LUBRICANT.format(known=', '.join(known), found=chosen[:40])}")
    m = m.but(prepared={**m.prepared, joint: chosen})
    return m.joint(joint, lubricant=chosen) if "new" in m.joints[joint].rings else m


def close_joint(m: Machine, joint: str, args: Args) -> Machine:
    """Close a joint and tighten it; past its limit the thread tears or the bowl cracks."""
    now, kind = m.joints[joint], m.kind_of(joint)
    if now.closed:
        raise CannotError(f"The {kind.title} is closed already.")
    if joint == "filter" and m.parts.get("new-filter") != "machine":
        raise CannotError("There is no new filter on the head to tighten.")
    torque = number(args.get("torque"), kind.right_nm, "torque", 0.0, 500.0)
    m = m.joint(joint, closed=True, torque_nm=torque)
    if torque >= kind.torque_nm[2]:
        m = m.joint(joint, damaged=True).told(
            f"The {kind.title} gives way under the wrench: torn.", "machine"
        )
    return m.but(ran=False, looked=False)


HOLES = tuple(str(hour) for hour in (12, 2, 4, 6, 8, 10))
"""Holes of a hexagonal head, by the hour of a clock seen from above."""


def lever(hole: str) -> float:
    """Arm with which a wire to the right turns a bolt clockwise, as a share of the hole's radius.

    The moment of a pull along +x at the hole is the hole's height over the axis; a right-hand thread tightens
    clockwise. Negative where the pull loosens.
    """
    return cos(radians(30.0 * int(hole)))


def _way(args: Args) -> str:
    """How the pull acts: by the hole where one was chosen, or as it was said.

    Raises:
        BadChoiceError: no such hole or way.
    """
    hole, said = args.get("hole"), args.get("pull")
    if hole is not None and hole not in HOLES:
        raise BadChoiceError(f"hole: expected one of {', '.join(HOLES)}, found '{hole[:40]}'")
    if said not in (None, "tightens", "loosens"):
        raise BadChoiceError(f"pull: expected tightens or loosens, found '{said[:40]}'")
    by_hole = None if hole is None else "tightens" if lever(hole) > 0.0 else "loosens"
    if by_hole and said and by_hole != said:
        raise BadChoiceError(f"hole: a wire to the right through the hole at {hole} {by_hole}, not {said}")
    return by_hole or said or "tightens"


def wire_joint(m: Machine, joint: str, args: Args) -> Machine:
    """Lockwire a joint: the pull tightens, 6 to 8 twists to the inch (AC 43.13-1B ch. 7)."""
    if not m.joints[joint].closed:
        raise CannotError(f"The {m.kind_of(joint).title} is open: there is nothing to wire.")
    stopped(m)
    low, high = machines_data().wire.twists_per_inch
    twists = number(args.get("twists"), (low + high) / 2.0, "twists", 0.0, 40.0)
    if _way(args) == "loosens":
        return m.joint(joint, wire="wrong-way")
    return m.joint(joint, wire="slack" if twists < low else "brittle" if twists > high else "right")


def fill(m: Machine, what: str, args: Args) -> Machine:
    """Fill the sump or the filter; what is open below lets it out again."""
    leaks = [j for j in m.open_joints if m.kind_of(j).under == what]
    if what == "filter":
        return prefill(m)
    room = max(m.what.sump_l - m.oil_l["sump"], 0.0)
    litres = number(args.get("litres"), room, "litres", 0.0, m.what.sump_l * 1.5)
    m = m.but(grade_wrong=m.grade_wrong or args.get("grade", "listed") != "listed")
    if leaks:
        title = m.kind_of(leaks[0]).title
        m = m.poured(litres, "tin", "floor").poured(m.oil_l["sump"], "sump", "floor")
        return m.told(f"The oil runs out of the open {title} onto the floor as fast as it is poured.", "oil")
    return m.poured(litres, "tin", "sump")


def prefill(m: Machine) -> Machine:
    """Fill the new filter by hand: only a bowl that hangs mouth up keeps it."""
    if m.kind == "can":
        raise CannotError("This can stands dome up: what is poured in runs out while it is fitted.")
    return m.poured(m.what.filter_l - m.oil_l["filter"], "tin", "filter").noted("bowl-filled")


def dip(m: Machine, _: str, args: Args) -> Machine:
    """Read the level and make it up; with the sump open there is nothing to make up."""
    del args
    stopped(m)
    m = m.found(f"The level reads {m.oil_l['sump']:.1f} L.")
    lower = [j for j in m.open_joints if m.kind_of(j).under == "sump"]
    if lower:
        return m.told(f"No oil on the dipstick: the {m.kind_of(lower[0]).title} is open.", "oil")
    return m.poured(max(m.what.sump_l - 0.4 - m.oil_l["sump"], 0.0), "tin", "sump")


def wipe(m: Machine, _: str, args: Args) -> Machine:
    """Wipe up what is on the floor."""
    del args
    return m.poured(m.oil_l["floor"], "floor", "drum").noted("wiped")
