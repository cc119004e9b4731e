"""Every family of figures against held-out values: other rows than the reference rows, found another way."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest
from glasscan.formulas.registry import evaluate, names

from tests.formulas.heldout import cold, dirt, ducts, flows, media, oils, strength, valves
from tests.formulas.heldout.case import Case


@cache
def cases_of(module: Any) -> tuple[Case, ...]:
    """All checks of a module, worked out once."""
    return tuple(module.cases())


MODULES = (oils, ducts, media, dirt, valves, strength, cold, flows)


def told(case: Case) -> Any:
    """What the figure says."""
    answer = evaluate(case.figure, dict(case.inputs))
    if case.key is not None:
        return answer[case.key]
    return answer["value"] if "value" in answer else answer["values"]


def agrees(found: Any, wanted: Any, rel_tol: float) -> bool:
    """Whether two answers are the same within the tolerance."""
    if isinstance(wanted, list | tuple):
        return len(found) == len(wanted) and all(
            agrees(*both, rel_tol) for both in zip(found, wanted, strict=True)
        )
    if isinstance(wanted, str | bool) or rel_tol == 0:
        return bool(found == wanted)
    return bool(found == pytest.approx(wanted, rel=rel_tol, abs=1e-300))


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__.rpartition(".")[2])
def test_held_out_values(module: Any) -> None:
    """Each answer within the tolerance of its family; all that are wrong are listed."""
    wrong = [
        f"{case.name}: {told(case)} is not {case.expected} ({case.source})"
        for case in cases_of(module)
        if not agrees(told(case), case.expected, case.rel_tol)
    ]
    assert wrong == []


def test_every_figure_has_a_held_out_value() -> None:
    """No figure is left with nothing but its reference rows."""
    checked = {case.figure for module in MODULES for case in cases_of(module)}
    assert sorted(set(names()) - checked) == []


def test_the_comparison_would_notice() -> None:
    """A value off by ten tolerances is refused, for numbers, lists and words."""
    assert not agrees(1.0 + 1e-5, 1.0, 1e-6)
    assert not agrees([1.0, 2.1], [1.0, 2.0], 1e-3)
    assert not agrees("19/16/11", "19/16/10", 1e-6)
