"""What hands do to a machine: each act gives the machine after it, or is refused by it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from glasscan.workshop import machine_joints as joints
from glasscan.workshop.act_basics import Args, stop_work, stopped
from glasscan.workshop.machine import LOW_KPA, PRESSURE_KPA, BadChoiceError, CannotError, Machine, Place
from glasscan.workshop.machine_run import run
from glasscan.workshop.typed_record import KEYS, written

Does = Callable[[Machine, str, Args], Machine]


def _note(m: Machine, word: str, args: Args) -> Machine:
    del args
    return m.noted(word)


def _safe(m: Machine, _: str, args: Args) -> Machine:
    del args
    stopped(m)
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
    stopped(m)
    return m.but(pressure_kpa=0.0)


def _gauge(m: Machine, _: str, args: Args) -> Machine:
    """Read the gauge: only a zero on it shows that nothing is stored."""
    del args
    if m.pressure_kpa > 0.0:
        return m.found(f"The gauge reads {m.pressure_kpa:,.0f} kPa: pressure stands in it.")
    return m.but(zero_read=True)


def _charge(m: Machine, how: str, args: Args) -> Machine:
    """Pressurise a hydraulic system, low or in full; what is open lets it out as a jet."""
    del args
    if m.open_joints:
        title = m.kind_of(m.open_joints[0]).title
        return stop_work(m, f"The pump was started with the {title} open. Fluid sprays under pressure.")
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


def _hand(m: Machine, where: str, args: Args) -> Machine:
    """Put a hand to something that moves or sprays."""
    del args
    if m.running and m.what.drive == "propeller":
        return stop_work(m, f"A hand at the {where} of a running engine: the propeller turns beside it.")
    if m.pressure_kpa > LOW_KPA:
        return stop_work(m, f"A hand at the {where} at {m.pressure_kpa:,.0f} kPa: a jet penetrates the skin.")
    return m


def _feel_leak(m: Machine, where: str, args: Args) -> Machine:
    """Feel for a leak with the hand, whatever the pressure: that is how fluid gets into hands."""
    del args
    return stop_work(m, f"A bare hand felt along the {where} for a leak. A fine jet enters skin unseen.")


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
    return stop_work(
        m, f"The spring throws the {what} off as the last bolts let go. It hits the one who bends over it."
    )


def _look_leaks(m: Machine, _: str, args: Args) -> Machine:
    """Look for leaks: at an engine stopped and made safe; at hydraulics under pressure, with a card."""
    del args
    if m.running and m.what.drive == "propeller":
        return stop_work(m, "Somebody looked for a leak beside a turning propeller.")
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
    "note": (_note, ()),
    "safe": (_safe, ()),
    "protect": (_protect, ()),
    "count-out": (_tray, ()),
    "start": (_start, ()),
    "stop": (_stop, ()),
    "run": (_run, ()),
    "dump": (_dump, ()),
    "gauge": (_gauge, ()),
    "unwire": (joints.unwire_joint, ()),
    "wire": (joints.wire_joint, ("pull", "hole", "twists")),
    "open": (joints.open_joint, ()),
    "close": (joints.close_joint, ("torque",)),
    "drain": (joints.drain, ()),
    "fill": (joints.fill, ("litres",)),
    "dip": (joints.dip, ()),
    "take": (joints.take_part, ()),
    "fit": (joints.fit_part, ()),
    "ring-out": (joints.ring_out, ()),
    "ring-in": (joints.ring_in, ()),
    "lube": (joints.lube, ("with",)),
    "charge": (_charge, ()),
    "wipe": (joints.wipe, ()),
    "hand": (_hand, ()),
    "feel-leak": (_feel_leak, ()),
    "look-leaks": (_look_leaks, ()),
    "count": (_count, ()),
    "drop": (_drop, ()),
    "force": (_force, ()),
    "click": (_click, ()),
    "jump": (_jump, ()),
    "turn": (_note, ()),
    "waste": (_waste, ()),
    "lay": (_lay, ("lay",)),
    "height": (_height, ()),
    "record": (written, KEYS),
}
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
