"""How the bypass valve stands, in a word and a sentence, from its lift, its speed and all forces on it."""

from __future__ import annotations

from dataclasses import dataclass

from glasscan.rig.records import Snapshot
from glasscan.ui.display_units import NEWTON, UnitSystem

OPEN_M = 1e-6  # lift from which the valve is called open
CRACKING_SHARE = 0.04  # of the full lift: a valve that rises and stands lower than this is cracking
MOVING_M_S = 1e-5  # a valve slower than this stands
FELT_N = 0.05  # a force smaller than this is not spoken of
ON_STOP = 0.995  # of the full lift


@dataclass(frozen=True)
class ValveMarks:
    """What a valve is made for: pressures over itself at which it opens and reseats, Pa; sizes, SI."""

    opens_pa: float
    reseats_pa: float | None = None
    seat_m2: float = 0.0
    max_lift_m: float = 0.0

    def own_drop_pa(self, s: Snapshot) -> float | None:
        """Pressure that the valve itself feels: its force over the area of its seat, Pa."""
        if s.valve is None or self.seat_m2 <= 0.0:
            return None
        return s.valve.pressure_n / self.seat_m2


STATES = (
    "no valve", "seated", "held off its seat", "cracking", "opening", "closing", "on the stop",
    "held open by friction", "open, in balance",
)  # fmt: skip


def state_of(s: Snapshot, max_lift_m: float) -> str:
    """One of `STATES` for a moment."""
    v = s.valve
    if v is None:
        return "no valve"
    if s.lift_m <= OPEN_M:
        return "seated"
    speed = s.readings.get("valve_speed_m_s", 0.0)
    if v.seat_n > FELT_N:
        return "held off its seat"
    if v.seat_n < -FELT_N or s.lift_m >= ON_STOP * max_lift_m > 0.0:
        return "on the stop"
    if speed > MOVING_M_S:
        return "cracking" if s.lift_m < CRACKING_SHARE * max_lift_m else "opening"
    if speed < -MOVING_M_S:
        return "closing"
    return "held open by friction" if v.friction_n > FELT_N else "open, in balance"


def state_sentence(s: Snapshot, state: str, marks: ValveMarks | None, units: UnitSystem) -> str:
    """Why the valve stands as it does."""
    assert s.valve is not None
    carried = f"{NEWTON.text(abs(s.valve.seat_n))} N"
    reseat = ""
    if marks is not None and marks.reseats_pa is not None:
        at = f"{units.pressure.text(marks.reseats_pa)} {units.pressure.sign}"
        reseat = f" It reseats once the differential pressure is down to {at}."
    return {
        "seated": f"The spring is stronger: the valve is on its seat, which carries the remaining {carried}.",
        "held off its seat": f"Something keeps the valve off its seat and carries {carried} of the spring.",
        "cracking": "Oil pressure has just overcome spring and friction: the valve leaves its seat.",
        "opening": "Oil pressure beats spring and friction: the valve opens further.",
        "closing": "The spring is stronger than oil pressure and friction: the valve moves back to its seat.",
        "on the stop": f"Oil pressure holds it against its stop, which takes the remaining {carried}.",
        "held open by friction": "Oil pressure alone no longer holds the spring compressed. "
        f"Friction of the guide holds the valve open.{reseat}",
        "open, in balance": "Oil pressure and spring are in balance: the valve stands open by this much.",
    }[state]


def balance_sentence(s: Snapshot) -> str:
    """All forces on the valve, those that open it and those that shut it."""
    assert s.valve is not None
    v = s.valve
    named = (
        ("oil pressure", v.pressure_n), ("spring", v.spring_n), ("flow", v.flow_n),
        ("friction", v.friction_n), ("seat" if v.seat_n > 0 else "stop", v.seat_n),
    )  # fmt: skip
    opening = [f"{name} {NEWTON.text(n)}" for name, n in named if n > FELT_N]
    closing = [f"{name} {NEWTON.text(-n)}" for name, n in named if n < -FELT_N]
    return (
        f"To open: {', '.join(opening) or 'nothing'} N. To shut: {', '.join(closing) or 'nothing'} N. "
        "This is what is left over."
    )


def total_n(s: Snapshot) -> float:
    """Sum of all forces on the valve, N, opening positive."""
    assert s.valve is not None
    v = s.valve
    return v.pressure_n + v.spring_n + v.flow_n + v.friction_n + v.seat_n
