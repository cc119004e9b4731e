"""What the parts of an opened filter show, read off the numbers of its rig: no list of faults is asked."""

from __future__ import annotations

from glasscan.rig.rig import Rig
from glasscan.workshop.inspection.inspection_data import FilterKind

STIFF_N = 50.0
"""Friction of the valve in its guide from which a hand calls it stuck (chosen; a sound one: below 1 N)."""
LEAKY = 100.0
"""Leak of the anti-drain lip over that of a sound one, from which it is seen not to lie flat (chosen)."""
SOUND = {
    "valve": "Pushed with a stick it lifts against its spring and goes back.",
    "lip": "It bends like rubber and lies flat again.",
    "core": "It is round, and its holes are open.",
    "medium": "The folds stand apart evenly; both seams are closed.",
    "seal": "It is whole and came off in one piece.",
    "blades": "They stand straight, one in each gap, and their edges are even.",
}
LEFT_OUT = {"can": ("blades",), "cartridge": ("blades", "lip"), "disc": ("lip", "medium")}
OPEN_VALVE = "It stands open and does not go back when it is pushed."


def sound_parts(kind: FilterKind) -> dict[str, str]:
    """What sound parts show when they are looked at, pushed and felt."""
    return {part: text for part, text in SOUND.items() if part not in LEFT_OUT[kind]}


def defects_of(rig: Rig) -> dict[str, str]:
    """Parts that are not sound, with what they show."""
    network, plant = rig.network, rig.state.controls.plant
    found: dict[str, str] = {}
    if network.valve is not None and network.valve.jam_lift_m > 0.0:
        found["valve"] = OPEN_VALVE
    elif network.valve is not None and network.valve.friction_n > STIFF_N:
        found["valve"] = "Pushed with a stick it does not move."
    if network.hole is not None:
        at_end = network.hole.segment in (0, network.segments - 1)
        found["medium"] = "One end cap has come off the folds." if at_end else "There is a tear in one fold."
    if _lip_leaks(rig):
        found["lip"] = "It is hard, stays folded, and does not lie flat."
    if network.dirt_side.scraper is not None and plant.scraper.missed > 0.0:
        found["blades"] = "Some blades are bent."
    elif network.dirt_side.scraper is not None and plant.scraper.bite < 1.0:
        found["blades"] = "Their edges are worn short."
    return found


def _lip_leaks(rig: Rig) -> bool:
    own, now = rig.network.dirt_side.antidrain, rig.state.controls.plant.housing.antidrain_leak_mm3
    return own is not None and now is not None and now * 1e-9 > LEAKY * own.leak_m3
