"""Faults as data: complete, acting on the model only, refused where they wait for a part of it."""

from __future__ import annotations

from dataclasses import fields

import numpy as np
import pytest
from glasscan.faults.apply import apply
from glasscan.faults.fault_data import Fault, NumberChange, acting, faults
from glasscan.faults.observables import FOUND, observe, subject
from glasscan.rig.setup import RigSetup
from pydantic import ValidationError

from tests.faults.rigs import FILES, rig

PLACES = [(kind, layout) for kind in FILES for layout in ("after", "before")]


def test_all_thirty_five_are_there() -> None:
    """F01 to F35, each with at least one variant, and every variant acts somewhere."""
    codes = {code[:3] for code in faults()}
    assert codes == {f"F{n:02d}" for n in range(1, 36)}
    somewhere = {fault.fault for place in PLACES for fault in acting(*place)}
    assert somewhere == set(faults())


@pytest.mark.parametrize(("kind", "layout"), PLACES)
def test_every_acting_fault_changes_the_rig(kind: str, layout: str) -> None:
    """At both ends of its range the setup is another one, and the sound setup stays as it was."""
    sound = rig(kind, layout)
    before = sound.network.segment_r.copy()
    for fault in acting(kind, layout):
        for severity in (0.0, 1.0):
            assert not _same(apply(fault, severity, sound), sound), fault.fault
    assert (sound.network.segment_r == before).all()


def _same(a: RigSetup, b: RigSetup) -> bool:
    return all(_equal(getattr(a, f.name), getattr(b, f.name)) for f in fields(a))


def _equal(a: object, b: object) -> bool:
    if type(a).__name__ != "FilterNetwork":
        return a == b
    return all(np.array_equal(getattr(a, f.name), getattr(b, f.name)) for f in fields(a))


@pytest.mark.parametrize(("kind", "layout"), PLACES)
def test_observables_are_finite_at_both_ends(kind: str, layout: str) -> None:
    """Every fault at its mildest and gravest gives finite numbers under the same names."""
    names = set(observe(subject(None, 0.0, rig(kind, layout))))
    for fault in acting(kind, layout):
        for severity in (0.0, 1.0):
            values = observe(subject(fault, severity, rig(kind, layout)))
            assert set(values) == names
            assert np.isfinite(list(values.values())).all(), fault.fault


def test_what_waits_is_refused_with_its_reason() -> None:
    """A fault without its part of the model is data that is not put into a rig."""
    waiting = faults()["F02"].model_dump() | {"changes": (), "waits_for": "another valve"}
    with pytest.raises(ValueError, match="does not act yet: another valve"):
        apply(Fault.model_validate(waiting), 0.5, rig("disc", "after"))
    with pytest.raises(ValidationError, match="either changes or waits_for"):
        Fault.model_validate(waiting | {"waits_for": None})


def test_what_parts_show_is_known() -> None:
    """`found` names only what the observables carry."""
    assert {name for fault in faults().values() for name in fault.found} <= set(FOUND)


def test_ranges_run_from_mild_to_grave() -> None:
    """Straight and logarithmic ranges, worked by hand: half of 2..8 is 5, or 4 on the logarithm."""
    assert NumberChange(set="a.b", how="to", mild=2.0, grave=8.0).at(0.5) == pytest.approx(5.0)
    assert NumberChange(set="a.b", how="times", mild=2.0, grave=8.0, log=True).at(0.5) == pytest.approx(4.0)
    with pytest.raises(ValidationError):
        NumberChange(set="a.b", how="times", mild=0.0, grave=8.0, log=True)


def test_weak_spring_by_hand() -> None:
    """Cracking pressure times 0.4 is the seat area's force times 0.4 (definition)."""
    fault = Fault.model_validate(
        faults()["F04"].model_dump()
        | {"changes": [{"set": "valve.cracking", "how": "times", "mild": 0.4, "grave": 0.4}]}
    )
    sound = rig("can", "after")
    assert apply(fault, 0.5, sound).network.valve.cracking_pa == pytest.approx(
        0.4 * sound.network.valve.cracking_pa
    )


@pytest.mark.parametrize("key", ["pump.no_such", "nowhere.x", "oil.colour"])
def test_a_number_that_is_not_there_is_refused(key: str) -> None:
    """A change of something the rig does not have: one line, not a guess."""
    data = faults()["F20"].model_dump() | {"changes": [{"set": key, "how": "to", "mild": 1.0, "grave": 2.0}]}
    with pytest.raises(ValueError, match=key):
        apply(Fault.model_validate(data), 0.5, rig("can", "after"))


def test_severity_out_of_range_is_refused() -> None:
    """Severity is a share."""
    with pytest.raises(ValueError, match="severity"):
        apply(faults()["F06"], 1.5, rig("can", "after"))


def test_bubble_pressure_is_jurins_law() -> None:
    """First bubbles at 4 sigma / d: 2-propanol, 0.021 N/m, a 1 mm hole: 84 Pa (handbook, MEMORY)."""
    import math

    fault = faults()["F08"]
    area = math.pi * 0.25
    data = fault.model_dump() | {
        "changes": [{"set": "element.tear_mm2", "how": "to", "mild": area, "grave": area}]
    }
    values = observe(subject(Fault.model_validate(data), 0.0, rig("can", "after")))
    assert values["bubble_kpa"] == pytest.approx(0.084, rel=1e-6)
