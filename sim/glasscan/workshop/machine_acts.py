"""What hands do to a machine: each act gives the machine after it, or is refused by it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from glasscan.workshop.machine import LOW_KPA, PRESSURE_KPA, BadChoiceError, CannotError, Machine, Place
from glasscan.workshop.machine_data import DRY, machines_data
from glasscan.workshop.machine_run import run

Args = Mapping[str, str]
Does = Callable[[Machine, str, Args], Machine]
LIVE = "The machine is not made safe: power is on, and the propeller or the pump may turn."
NO_LUBRICANT = "expected one of {known}, found '{found}'"


def _stopped(m: Machine) -> None:
    if m.running:
        raise CannotError("It is running. Stop it first.")


def _reachable(m: Machine, joint: str) -> None:
    if m.joints[joint].closed:
        raise CannotError(f"The {m.kind_of(joint).title} is closed: nothing inside can be reached.")


def _note(m: Machine, word: str, args: Args) -> Machine:
    del args
    return m.noted(word)


def _safe(m: Machine, _: str, args: Args) -> Machine:
    del args
    _stopped(m)
    return m.but(safe=True)


def _protect(m: Machine, _: str, args: Args) -> Machine:
    del args
    return m.but(protected=True)


def _tray(m: Machine, _: str, args: Args) -> Machine:
    del args
    return m.but(counted_out=True)


def _stop(m: Machine, _: str, args: Args) -> Machine:
    """An engine loses its oil pressure as it stops; a hydraulic system keeps what is stored."""
    del args
    left = m.pressure_kpa if m.what.drive == "pump" else 0.0
    return m.but(running=False, pressure_kpa=left)


def _dump(m: Machine, _: str, args: Args) -> Machine:
    del args
    _stopped(m)
    return m.but(pressure_kpa=0.0)


def _gauge(m: Machine, _: str, args: Args) -> Machine:
    """Read the gauge: only a zero on it shows that nothing is stored."""
    del args
    if m.pressure_kpa > 0.0:
        return m.found(f"The gauge reads {m.pressure_kpa:,.0f} kPa: pressure stands in it.")
    return m.but(zero_read=True)


def _unwire(m: Machine, joint: str, args: Args) -> Machine:
    _touch(m, joint)
    if args.get("torn"):
        m = m.joint(joint, damaged=True).told(
            "The lockwire hole is torn out and swarf lies about.", "machine"
        )
    return m.joint(joint, wire="none")


def _touch(m: Machine, joint: str) -> None:
    if joint not in m.joints:
        raise CannotError(f"This machine has no {joint}.")


def _open(m: Machine, joint: str, args: Args) -> Machine:
    """Open a joint: wire holds it, pressure ends the work, its oil runs into the tray."""
    del args
    now, title = m.joints[joint], m.kind_of(joint).title
    if not now.closed:
        raise CannotError(f"The {title} is open already.")
    if now.wire != "none":
        raise CannotError(f"The lockwire still holds the {title}.")
    if m.running:
        return _stop_work(m, f"The {title} was loosened on a running machine. Hot oil sprays under pressure.")
    if m.pressure_kpa > 0.0:
        return _stop_work(
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


def _stop_work(m: Machine, text: str) -> Machine:
    return m.told(text, "person").but(ended=text)


def _drain(m: Machine, joint: str, args: Args) -> Machine:
    _reachable(m, joint)
    del args
    where = m.kind_of(joint).under
    return m.poured(m.oil_l[where], where, "drum" if m.counted_out else "floor")


def _fill(m: Machine, what: str, args: Args) -> Machine:
    """Fill the sump or the filter; what is open below lets it out again."""
    leaks = [j for j in m.open_joints if m.kind_of(j).under == what]
    if what == "filter":
        return _prefill(m)
    room = max(m.what.sump_l - m.oil_l["sump"], 0.0)
    litres = _number(args.get("litres"), room, "litres", 0.0, m.what.sump_l * 1.5)
    m = m.but(grade_wrong=m.grade_wrong or args.get("grade", "listed") != "listed")
    if leaks:
        title = m.kind_of(leaks[0]).title
        m = m.poured(litres, "tin", "floor").poured(m.oil_l["sump"], "sump", "floor")
        return m.told(f"The oil runs out of the open {title} onto the floor as fast as it is poured.", "oil")
    return m.poured(litres, "tin", "sump")


def _prefill(m: Machine) -> Machine:
    """Fill the new filter by hand: only a bowl that hangs mouth up keeps it."""
    if m.kind == "can":
        raise CannotError("This can stands dome up: what is poured in runs out while it is fitted.")
    return m.poured(m.what.filter_l - m.oil_l["filter"], "tin", "filter").noted("bowl-filled")


def _dip(m: Machine, _: str, args: Args) -> Machine:
    """Read the level and make it up; with the sump open there is nothing to make up."""
    del args
    _stopped(m)
    m = m.found(f"The level reads {m.oil_l['sump']:.1f} L.")
    lower = [j for j in m.open_joints if m.kind_of(j).under == "sump"]
    if lower:
        return m.told(f"No oil on the dipstick: the {m.kind_of(lower[0]).title} is open.", "oil")
    return m.poured(max(m.what.sump_l - 0.4 - m.oil_l["sump"], 0.0), "tin", "sump")


def _take(m: Machine, part: str, args: Args) -> Machine:
    _stopped(m)
    holder = args.get("from")
    if holder:
        _reachable(m, holder)
    if m.parts[part] != "machine":
        raise CannotError(f"The {part.replace('-', ' ')} is out already.")
    if part == "old-filter" and "old-gasket-on-head" not in m.present:
        m = m.joint("filter", rings=())  # the gasket comes off with the can; a stuck one stays on the head
    return m.part(part, "bench")


def _fit(m: Machine, part: str, args: Args) -> Machine:
    holder = args.get("in")
    if holder:
        _reachable(m, holder)
    if m.parts[part] == "waste":
        raise CannotError(f"The {part.replace('-', ' ')} is in the waste.")
    old = "old-" + part.removeprefix("new-")
    if part.startswith("new-") and m.parts.get(old) == "machine":
        raise CannotError(f"The {old.replace('-', ' ')} is still in its place.")
    if part == "new-filter":
        m = _ring_in(m, "filter", {})
    return m.part(part, "machine")


def _ring_out(m: Machine, joint: str, args: Args) -> Machine:
    del args
    _reachable(m, joint)
    return m.joint(joint, rings=tuple(r for r in m.joints[joint].rings if r != "old"))


def _ring_in(m: Machine, joint: str, args: Args) -> Machine:
    _reachable(m, joint)
    which = args.get("which", "new")
    rings = m.joints[joint].rings
    if which in rings:
        raise CannotError("That ring lies in it already.")
    wet = m.prepared.get(joint, DRY) if which == "new" else "system-oil"
    return m.joint(joint, rings=(*rings, which), lubricant=wet)


def _lube(m: Machine, joint: str, args: Args) -> Machine:
    """Wet a new seal, in the hand or in its place; what was never wetted is dry."""
    if "new" in m.joints[joint].rings:
        _reachable(m, joint)
    kind = machines_data().rings[m.kind_of(joint).ring]
    chosen = args.get("with", kind.well[0])
    known = [x.id for x in machines_data().lubricants]
    if chosen not in known:
        raise BadChoiceError(f"with: {NO_LUBRICANT.format(known=', '.join(known), found=chosen[:40])}")
    m = m.but(prepared={**m.prepared, joint: chosen})
    return m.joint(joint, lubricant=chosen) if "new" in m.joints[joint].rings else m


def _close(m: Machine, joint: str, args: Args) -> Machine:
    """Close a joint and tighten it; past its limit the thread tears or the bowl cracks."""
    now, kind = m.joints[joint], m.kind_of(joint)
    if now.closed:
        raise CannotError(f"The {kind.title} is closed already.")
    if joint == "filter" and m.parts.get("new-filter") != "machine":
        raise CannotError("There is no new filter on the head to tighten.")
    torque = _number(args.get("torque"), kind.right_nm, "torque", 0.0, 500.0)
    m = m.joint(joint, closed=True, torque_nm=torque)
    if torque >= kind.torque_nm[2]:
        m = m.joint(joint, damaged=True).told(
            f"The {kind.title} gives way under the wrench: torn.", "machine"
        )
    return m.but(ran=False, looked=False)


def _number(text: str | None, instead: float, key: str, low: float, high: float) -> float:
    """A number a hand has set, or what the manual says.

    Raises:
        BadChoiceError: no number, or one no hand can set.
    """
    if text is None:
        return instead
    try:
        value = float(text)
    except ValueError:
        value = -1.0
    if not low <= value <= high:
        raise BadChoiceError(f"{key}: expected a number from {low:g} to {high:g}, found '{text[:40]}'")
    return value


def _wire(m: Machine, joint: str, args: Args) -> Machine:
    """Lockwire a joint: the pull tightens, 6 to 8 twists to the inch (AC 43.13-1B ch. 7)."""
    if not m.joints[joint].closed:
        raise CannotError(f"The {m.kind_of(joint).title} is open: there is nothing to wire.")
    _stopped(m)
    low, high = machines_data().wire.twists_per_inch
    twists = _number(args.get("twists"), (low + high) / 2.0, "twists", 0.0, 40.0)
    way = args.get("pull", "tightens")
    if way not in ("tightens", "loosens"):
        raise BadChoiceError(f"pull: expected tightens or loosens, found '{way[:40]}'")
    if way == "loosens":
        return m.joint(joint, wire="wrong-way")
    return m.joint(joint, wire="slack" if twists < low else "brittle" if twists > high else "right")


def _charge(m: Machine, how: str, args: Args) -> Machine:
    """Pressurise a hydraulic system, low or in full; what is open lets it out as a jet."""
    del args
    if m.open_joints:
        title = m.kind_of(m.open_joints[0]).title
        return _stop_work(m, f"The pump was started with the {title} open. Fluid sprays under pressure.")
    m = run(m.but(safe=False))
    kpa = LOW_KPA if how == "low" else PRESSURE_KPA[m.what.drive]
    return m.but(running=False, pressure_kpa=kpa, zero_read=False)


def _run(m: Machine, _: str, args: Args) -> Machine:
    del args
    return run(m)


def _start(m: Machine, _: str, args: Args) -> Machine:
    del args
    m = run(m)
    still = not m.hurt and m.ended is None
    return m.but(running=still, pressure_kpa=PRESSURE_KPA[m.what.drive] if still else 0.0)


def _clean(m: Machine, _: str, args: Args) -> Machine:
    del args
    return m.poured(m.oil_l["floor"], "floor", "drum").noted("wiped")


def _hand(m: Machine, where: str, args: Args) -> Machine:
    """Put a hand to something that moves or sprays."""
    del args
    if m.running and m.what.drive == "propeller":
        return _stop_work(m, f"A hand at the {where} of a running engine: the propeller turns beside it.")
    if m.pressure_kpa > LOW_KPA:
        return _stop_work(m, f"A hand at the {where} at {m.pressure_kpa:,.0f} kPa: a jet enters the skin.")
    return m


def _feel_leak(m: Machine, where: str, args: Args) -> Machine:
    """Feel for a leak with the hand, whatever the pressure: that is how fluid gets into hands."""
    del args
    return _stop_work(m, f"A bare hand felt along the {where} for a leak. A fine jet enters skin unseen.")


def _force(m: Machine, what: str, args: Args) -> Machine:
    """Force a handle; a stiff one bends its blade."""
    del args
    if "stiff-handle" not in m.present:
        return m
    return m.told(f"Something gives inside: a blade is bent. The {what} was forced.", "machine").noted(
        "forced"
    )


def _click(m: Machine, what: str, args: Args) -> Machine:
    """Turn a handle on its rebuilt stack: a gap that is shut pinches its blade."""
    del args
    from glasscan.workshop.stack_pieces import stack_faults

    if m.lay and "spacer-missing" in stack_faults(m.lay):
        return m.found(f"The {what} binds and clicks once a turn: a blade is pinched in a gap that is shut.")
    return m.found(f"The {what} turns evenly, without a click.")


def _jump(m: Machine, what: str, args: Args) -> Machine:
    del args
    return _stop_work(
        m, f"The spring throws the {what} off as the last bolts let go. It hits the one who bends over it."
    )


def _look_leaks(m: Machine, _: str, args: Args) -> Machine:
    """Look for leaks: at an engine stopped and made safe; at hydraulics under pressure, with a card."""
    del args
    if m.running and m.what.drive == "propeller":
        return _stop_work(m, "Somebody looked for a leak beside a turning propeller.")
    if not m.ran:
        raise CannotError("It has not run since the last joint was closed: a look shows nothing yet.")
    if m.what.drive == "propeller" and not m.safe:
        m = m.told("The engine was looked at before it was made safe again.", "person")
    for name in m.joints:
        seen = leak_class(m, name)
        if seen:
            m = m.found(f"Wet at the {m.kind_of(name).title}: {seen}.")
    return m.but(looked=True)


def leak_class(m: Machine, joint: str) -> str:
    """What a look finds at a joint: nothing, a weep, drops or a stream."""
    from glasscan.workshop.machine_run import leak_of

    return {0: "", 1: "wet, no drop", 2: "drops that fall", 3: "oil runs"}[leak_of(m, joint)]


def _count(m: Machine, _: str, args: Args) -> Machine:
    """Count tools and parts; what is missing is looked for and found."""
    del args
    if not m.counted_out:
        raise CannotError("Nothing was counted out: there is no number to compare with.")
    if m.outside:
        m = m.found(f"The count does not come out. Found: {', '.join(m.outside)}.").but(outside=())
    return m.but(counted_in=True)


def _drop(m: Machine, what: str, args: Args) -> Machine:
    del args
    return m.but(outside=(*m.outside, what.replace("-", " ")), counted_in=False)


def _waste(m: Machine, _: str, args: Args) -> Machine:
    """Old parts to their drums; what is still in the machine stays there."""
    del args
    moved: dict[str, Place] = {
        p: "waste" for p, place in m.parts.items() if place == "bench" and p.startswith("old-")
    }
    return m.but(parts={**m.parts, **moved}).noted("waste")


def _lay(m: Machine, _: str, args: Args) -> Machine:
    """Thread discs and spacers on the shaft."""
    from glasscan.workshop.stack_pieces import read_lay, right_lay, short_lay

    if m.parts.get("pack") != "bench":
        raise CannotError("The pack is still in its housing.")
    if args.get("lay") == "short":
        return m.but(lay=short_lay())
    try:
        return m.but(lay=read_lay(args["lay"]) if "lay" in args else right_lay())
    except ValueError as error:
        raise BadChoiceError(f"lay: {error}") from None


def _height(m: Machine, _: str, args: Args) -> Machine:
    """Count the pieces and measure the pack: both against the record."""
    del args
    from glasscan.workshop.stack_pieces import compared

    if not m.lay:
        raise CannotError("Nothing lies on the rod yet: there is no height to measure.")
    return m.found(compared(m.lay))


ACTS: Mapping[str, tuple[Does, tuple[str, ...]]] = {
    "note": (_note, ()), "safe": (_safe, ()), "protect": (_protect, ()), "count-out": (_tray, ()),
    "start": (_start, ()), "stop": (_stop, ()), "run": (_run, ()), "dump": (_dump, ()), "gauge": (_gauge, ()),
    "unwire": (_unwire, ()), "wire": (_wire, ("pull", "twists")), "open": (_open, ()),
    "close": (_close, ("torque",)), "drain": (_drain, ()), "fill": (_fill, ("litres",)), "dip": (_dip, ()),
    "take": (_take, ()), "fit": (_fit, ()), "ring-out": (_ring_out, ()), "ring-in": (_ring_in, ()),
    "lube": (_lube, ("with",)), "charge": (_charge, ()), "wipe": (_clean, ()), "hand": (_hand, ()),
    "feel-leak": (_feel_leak, ()), "look-leaks": (_look_leaks, ()), "count": (_count, ()),
    "drop": (_drop, ()),
    "force": (_force, ()), "click": (_click, ()), "jump": (_jump, ()), "turn": (_note, ()),
    "waste": (_waste, ()), "lay": (_lay, ("lay",)), "height": (_height, ()),
}  # fmt: skip
"""Acts by word: what they do, and what a hand chooses at them."""


def asks(words: str) -> tuple[str, ...]:
    """What a hand chooses at an act, such as the torque of "close filter"; nothing where the act fixes it."""
    verb, *rest = words.split()
    fixed = {w.split("=", 1)[0] for w in rest if "=" in w}
    if verb == "fill" and "sump" not in rest:
        return ()
    return tuple(k for k in ACTS[verb][1] if k not in fixed)


def act(m: Machine, words: str, chosen: Args) -> Machine:
    """Do one act, such as "close filter" or "take old-filter from=filter".

    Args:
        m: the machine before.
        words: word of the act, its object, and fixed choices as key=value.
        chosen: what the hand has chosen, of the keys of `asks`.

    Raises:
        CannotError: the machine does not let it happen.
        BadChoiceError: something no hand can choose.
        KeyError: no such act, joint or part.
    """
    verb, *rest = words.split()
    things = [w for w in rest if "=" not in w]
    fixed = dict(w.split("=", 1) for w in rest if "=" in w)
    free = {k: v for k, v in chosen.items() if k in asks(words)}
    return ACTS[verb][0](m, things[0] if things else "", {**fixed, **free})
