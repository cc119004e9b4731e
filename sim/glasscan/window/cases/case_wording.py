"""Words of the case pages: kinds of filter, levels, states of the rig, acts with their cautions."""

from __future__ import annotations

import re
from collections.abc import Sequence

from glasscan.faults.fault_data import parts_of
from glasscan.learning.cases.case_play import CANNOT_TELL, Case
from glasscan.learning.cases.test_menu import Test

KINDS = {"can": "Spin-on filter", "cartridge": "Pleated cartridge", "disc": "Stacked-disc filter"}
LEVELS = {
    1: ("With help", "Few suspects, sharp readings, the sound rig beside them. Hints are free."),
    2: ("On your own", "All suspects, usual reading errors, the sound rig beside them. Hints cost marks."),
    3: ("Exam level", "Now and then a second fault, coarse readings, normal values beside them, no hints."),
}
NEEDS = {
    "papers": "at the desk",
    "stopped": "engine stopped",
    "running": "engine running",
    "open": "opens the system",
}
STATES = {"papers": "at the desk", "stopped": "stopped", "running": "running", "open": "opened"}
"""The same in a word."""
ACTS = (
    (
        "start",
        "Start the engine",
        "Clear of the propeller. No start without oil pressure or with oil pouring out.",
    ),
    ("stop", "Stop the engine", "A hot engine stays hot: let it cool before hands go near."),
    (
        "release",
        "Release pressure",
        "Only with the engine stopped. Eye protection, gloves: hot oil, spring force.",
    ),
)
RISKS = {
    "none": "No special risk.",
    "run": "Running engine: propeller, hot parts, oil under pressure.",
    "pressure": "Oil under pressure can penetrate the skin: shield and goggles.",
    "hot drain": "Hot oil runs out: gloves, tray, face away from the drain.",
    "hot oil": "Hot oil burns: gloves, and let it cool.",
    "hot oil spatter": "Water in hot oil spatters: face shield, small sample.",
    "fire": "Fire: no flame but the test flame, extinguisher at hand.",
    "solvent": "Solvent: fresh air, gloves, no sparks.",
    "cuts, hot oil": "Sharp sheet metal and hot oil: gloves, drain first.",
    "spring force, hot oil": "A loaded spring flies: hold the cover. Hot oil burns.",
    "spring force": "A loaded spring flies: hold the cover.",
    "stiff handle; stop the machine first": "Engine stopped, made safe; a stiff handle is not forced.",
    "propeller": "The propeller may move: ignition off, plugs out, nobody in its circle.",
}
BETTER = (
    (
        "forbids a start",
        "No oil pressure, or oil pouring out: it stays off until the cause is found.",
    ),
    ("loosened", "Stop the engine first, let it cool, then let the pressure out."),
    ("engine running", "Stop the engine, let it cool, let the pressure out, and only then open."),
    ("under pressure", "Let the pressure out first, with gloves and eye protection, and only then open."),
)
"""How it is done right, by a word of the reason for which a case was stopped."""
MOST_ACTION, MOST_LOG = 160, 480


def spoken(text: str) -> str:
    """A text of the menu with the signs of its units as they are printed."""
    return text.replace(" degC", " °C").replace(" -", " −").replace(" um(", " µm(")


def titled(code: str) -> str:
    """Title of a suspect; two faults at once are joined by "and"."""
    if code == CANNOT_TELL:
        return "Cannot tell yet"
    return " and ".join(fault.title for fault in parts_of(code))


def named(code: str) -> str:
    """Code and title of a suspect."""
    return titled(code) if code == CANNOT_TELL else f"{code}  {titled(code)}"


def listed(codes: Sequence[str]) -> str:
    """Codes in one line."""
    return ", ".join(codes)


def risk_words(test: Test) -> str:
    """What can hurt in a test, in a sentence."""
    return RISKS.get(test.risk, f"Risk: {test.risk}.")


def complaint_words(case: Case) -> str:
    """The flight line's sentence; its figures stand beside it in the reader's own units."""
    return re.sub(r" \([^)]*\)", "", case.complaint)


def minutes(value: float) -> str:
    """Minutes in words."""
    return f"{value:g} min"
