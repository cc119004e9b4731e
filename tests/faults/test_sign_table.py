"""The model's signs against the trade's fault table; where they differ the data must say so, and why."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
import yaml
from glasscan.faults.fault_data import acting, faults
from glasscan.faults.observables import observe, subject
from glasscan.faults.sign_table import COLUMNS, signs

from tests.faults.rigs import FILES, rig

TABLE = yaml.safe_load((Path(__file__).parents[1] / "data" / "sign_table.yaml").read_text(encoding="utf-8"))
SEVERITY = 0.6
LAYOUT = {"A": "after", "B": "before"}
WORDS = {"trips": "+", "early": "+", "late": "0-", "never": "0-", "none": "0", "L": "0+", "bursts": "+0"}
UNSTEADY = "~"
PLACES = [(kind, layout) for kind in FILES for layout in ("after", "before")]


def allowed(mark: str, layout: str) -> str:
    """Signs that a mark of the table allows in a layout, e.g. "0+"."""
    if mark in WORDS:
        return WORDS[mark]
    if mark == UNSTEADY:
        return UNSTEADY
    mark = mark.removeprefix("level ")
    if "?" in mark or "later" in mark:
        return "+0-"
    found = ""
    for token in mark.split():
        where = LAYOUT.get(token[-1])
        found += _token(token.rstrip("AB")) if where in (None, layout) else ""
    return found or "0"


def _token(token: str) -> str:
    if token in WORDS:
        return WORDS[token]
    if "/" in token:
        return "".join(_token(part) for part in token.split("/"))
    sign = "+" if "↑" in token else "-" if "↓" in token else ""
    sign += UNSTEADY if UNSTEADY in token else ""
    weak = "small" in token or token.endswith(("L", "→", "~", "cold")) or not sign
    return sign + ("0" if weak else "")


@cache
def model(kind: str, layout: str) -> dict[str, dict[str, str]]:
    """Signs of every acting fault."""
    healthy = observe(subject(None, 0.0, rig(kind, layout)))
    return {
        fault.fault: signs(observe(subject(fault, SEVERITY, rig(kind, layout))), healthy)
        for fault in acting(kind, layout)
    }


def disagreements(kind: str, layout: str) -> dict[tuple[str, str], str]:
    """(fault, column) -> the model's sign, where the table does not allow it."""
    return {
        (code, column): found[column]
        for code, found in model(kind, layout).items()
        for column, mark in zip(TABLE["columns"], TABLE["rows"][code], strict=True)
        if found[column] not in allowed(mark, layout)
    }


def written(kind: str, layout: str) -> dict[tuple[str, str], str]:
    """The same as the fault files tell it."""
    return {
        (fault.fault, told.column): told.model
        for fault in acting(kind, layout)
        for told in fault.model_says
        if told.holds(kind, layout)
    }


@pytest.mark.parametrize(("kind", "layout"), PLACES)
def test_signs_agree_or_the_data_says_why(kind: str, layout: str) -> None:
    """Every disagreement with the table is written down with its sign, and none is written in vain."""
    assert disagreements(kind, layout) == written(kind, layout)


def test_table_covers_every_acting_fault() -> None:
    """Each acting fault has a row of twelve marks, and each row a fault."""
    assert set(TABLE["rows"]) == {code for code, fault in faults().items() if fault.changes}
    assert tuple(TABLE["columns"]) == COLUMNS


@pytest.mark.parametrize(
    ("mark", "layout", "signs_allowed"),
    [("·", "after", "0"), ("↓B", "after", "0"), ("↓B", "before", "-"), ("·A ↑↑B", "before", "+")],
)
def test_marks_are_read(mark: str, layout: str, signs_allowed: str) -> None:
    """The table's marks as signs, worked out by hand."""
    assert allowed(mark, layout) == signs_allowed


def test_two_mirror_patterns() -> None:
    """A weak regulator shows cold and at cruise, a worn bearing most at hot idle: mirror patterns.

    At hot cruise the regulator still spills with sound bearings; badly worn ones take that and a little more.
    """
    found = model("can", "after")
    assert [found["F23b"][c] for c in ("Pc", "Pi", "Pr")] == ["-", "0", "-"]
    assert [found["F25"][c] for c in ("Pc", "Pi")] == ["0", "-"]
    sound = observe(subject(None, 0.0, rig("can", "after")))
    worn = observe(subject(faults()["F25"], SEVERITY, rig("can", "after")))
    lost = {at: 1.0 - worn[f"gauge_{at}_kpa"] / sound[f"gauge_{at}_kpa"] for at in ("cold", "idle", "cruise")}
    assert lost["cold"] < 0.01
    assert lost["cruise"] < 0.25 * lost["idle"]
