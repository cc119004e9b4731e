"""Every reference row the laws can answer, one test each, with its source and status in the test's name."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.references.coverage import not_covered, reason_for, rows, rule_for
from tests.references.table import table

ROWS = [row for row in rows() if rule_for(row["id"])]
LOOSE = 0.005
"""Tolerance of a row that gives none, for values printed to three or four figures."""
SAME_LAW = 1e-6
"""Tolerance of a row worked out from the very law the model uses, tighter than the one the row suggests."""
MEASURED = re.compile(
    r"visc\.(walther60|measured)\..*|settle\.(stokes|steel\.oil|hindered).*|ruth\.geank\.(?!fit).*"
    r"|array\.(sa|hp)\..*|(bypass|collapse|edge|element|hyd|practice|fatigue|burst|dens)\..*|antidrain"
)
"""Rows measured, read off, rounded or worked out by another law: these keep their own tolerance."""
ABSOLUTE = {"C (use abs tol 0.05)": 0.05, "residual, relative": 1e-9}


def name_of(row: dict[str, Any]) -> str:
    """Test id: row, status and the start of the source."""
    return f"{row['id']}-{row['status']}-{row['source'][:48]}"


def leaves(value: Any) -> Iterator[Any]:
    """Numbers and words of a nested value, in order."""
    if isinstance(value, dict):
        value = list(value.values())
    if isinstance(value, list | tuple):
        for item in value:
            yield from leaves(item)
    else:
        yield value


def expected_leaves(row: dict[str, Any]) -> list[Any]:
    """What the row says; of a legacy dust's [share, tolerance] pairs only the share."""
    if row["value"] is None:  # limits that the row lists as inputs
        return list(leaves(row["inputs"]))
    if row["id"].startswith("dust.legacy"):
        return [share for share, _ in row["value"]]
    return list(leaves(row["value"]))


def last_digit(value: float) -> float:
    """Half of the last printed digit of a value with five digits or more: nothing can be held closer."""
    digits = Decimal(repr(value)).as_tuple()
    return 0.5 * 10.0 ** int(digits.exponent) if len(digits.digits) >= 5 else 0.0


def tolerance(row: dict[str, Any]) -> float:
    """Relative tolerance a row is held to."""
    own = LOOSE if row["rel_tol"] is None else float(row["rel_tol"])
    return own if MEASURED.fullmatch(row["id"]) else min(own, SAME_LAW)


def agrees(found: Any, wanted: Any, rel_tol: float, unit: str | None) -> bool:
    """True where a result meets a row's value within its tolerance."""
    if isinstance(wanted, str | bool):
        return found == wanted
    if unit in ABSOLUTE:
        return abs(found - wanted) <= ABSOLUTE[unit]
    return abs(found - wanted) <= max(rel_tol, 1e-12) * abs(wanted) + last_digit(float(wanted)) + 1e-300


@pytest.mark.parametrize("row", ROWS, ids=name_of)
def test_row(row: dict[str, Any]) -> None:
    """The model gives the published value within the row's tolerance."""
    rule = rule_for(row["id"])
    assert rule is not None
    found = list(leaves(rule(row["id"], row["inputs"])))
    wanted = expected_leaves(row)
    assert len(found) == len(wanted)
    where = f"{row['quantity']} [{row['unit']}]; {row['status']}: {row['source']}"
    for got, want in zip(found, wanted, strict=True):
        if "upper bound" in str(row["unit"]):
            assert got <= want, where
        else:
            assert agrees(got, want, tolerance(row), row["unit"]), f"{got} is not {want}: {where}"


def test_every_other_row_has_a_reason() -> None:
    """A row is either worked out or says why not, never silently dropped."""
    assert [row_id for row_id, why in not_covered().items() if not why] == []


def test_no_row_is_both_worked_out_and_excused() -> None:
    """A reason never hides a row that is tested, apart from patterns that sweep up the rest of a family."""
    families = ("practice.", "visc.mil5606.m54", "hyd.")
    both = [row["id"] for row in ROWS if reason_for(row["id"]) and not row["id"].startswith(families)]
    assert both == []


@pytest.mark.parametrize("row", ROWS, ids=name_of)
def test_row_would_notice_a_wrong_answer(row: dict[str, Any]) -> None:
    """A result 10 % off (or another word) fails the comparison, so no row passes by its own tolerance."""
    for want in expected_leaves(row):
        wrong = (
            "other" if isinstance(want, str) else (not want if isinstance(want, bool) else 1.1 * want + 0.1)
        )
        assert not agrees(wrong, want, tolerance(row), row["unit"]) or math.isclose(wrong, want)


def test_the_developers_page_shows_the_present_table():
    """The table in tests/README.md is the one the rows give."""
    page = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
    assert table() in page
