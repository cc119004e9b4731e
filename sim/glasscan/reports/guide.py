"""One page to hand to an instructor: what it is, the first ten minutes, the keys."""

from __future__ import annotations

from collections.abc import Sequence

from glasscan import __version__
from glasscan.reports.html_pages import Html, Paper, element, page, table

WHAT = (
    "Glasscan shows what happens inside oil and hydraulic filters: cut open, to scale, the oil, the dirt "
    "and the relief valve moving as one model of the whole rig says. Nothing on the screen is scripted: "
    "move a control, and what follows, follows from the physics."
)
FIRST_TEN = (
    ("Open", "Start glasscan, leave Demonstrate chosen, press Enter on Cold start."),
    ("Ask first", "H: the class says what the valve will do; count the hands with the digit keys."),
    ("Run", "Space. Watch the differential pressure, the valve and the two streams. Space stops it."),
    (
        "Why?",
        "W, one link at a time: pump, thick oil, drop, force, spring. Let the class give the next link.",
    ),
    ("Point", "F freezes it and lights one part; the arrows go on to the next."),
    ("Compare", "B puts the same run beside it with one thing changed, on one clock."),
    ("Show the circuit", "J: pump, regulator, filter, gallery and bearings as ribbons of flow."),
    ("Look closer", "Z: one row of pleats, or one gap between two discs."),
    ("Take away", "K keeps a picture; C, Take away: clip, trace, sheet, answer key, plan."),
)


def guide_page(keys: Sequence[tuple[str, str]], paper: Paper = "A4") -> str:
    """The guide.

    Args:
        keys: key and what it does, as the key sheet of a lesson has them.
        paper: size of the sheet.
    """
    return page(
        "Glasscan on one page",
        WHAT,
        element("h2", "The first ten minutes"),
        table(("Step", "How"), FIRST_TEN),
        element("h2", "Keys of a lesson"),
        _in_two(keys),
        paper=paper,
        made=f"Glasscan {__version__}.",
    )


def _in_two(keys: Sequence[tuple[str, str]]) -> Html:
    deep = -(-len(keys) // 2)
    left, right = list(keys[:deep]), list(keys[deep:])
    right += [("", "")] * (deep - len(right))
    rows = [(*a, *b) for a, b in zip(left, right, strict=True)]
    return table(("Key", "What it does", "Key", "What it does"), rows)
