"""Marks of an inspection: by the example sheet, a missed defect is a gate ('not yet', whatever the marks).

The sheet is invented; that any steel flake, sliver or rubber shred stops the machine, and that wear paste is
trended, are rows of the trade's debris table.
"""

from __future__ import annotations

import pytest
from glasscan.faults.apply import apply
from glasscan.faults.fault_data import faults
from glasscan.rig.rig import Rig
from glasscan.window.bench.filter_sources import sound_rig
from glasscan.workshop.inspection.inspection import Inspection
from glasscan.workshop.inspection.inspection_data import FilterKind, manual, sources
from glasscan.workshop.inspection.judgement import Judgement, truth
from glasscan.workshop.inspection.part_findings import defects_of, sound_parts

from tests.workshop.inspection.conftest import Make


def opened(evidence: Make, kind: str, word: str, how: str | None = None) -> Inspection:
    """An open filter."""
    work = Inspection(evidence(kind, word), 3)
    work.open(how or work.ways()[0])  # type: ignore[arg-type]
    return work


def perfect(work: Inspection) -> Inspection:
    """Everything judged by the sheet."""
    for name, heap in work.heaps().items():
        work.judge(name, truth(heap, work.evidence))
    work.bad_parts = set(work.evidence.defects)
    return work


@pytest.mark.parametrize(
    ("kind", "word"),
    [("can", "healthy"), ("can", "lip-hardened"), ("can", "valve-stuck"), ("disc", "blades-bent")],
)
def test_right_judgements_have_full_marks(evidence: Make, kind: str, word: str) -> None:
    """All marks and no gate."""
    sheet = perfect(opened(evidence, kind, word)).sheet()
    assert (sheet.got, sheet.gates) == (sheet.out_of, ())


def test_nothing_said_is_not_yet(evidence: Make) -> None:
    """Flakes that nobody took up are a missed defect; a sound filter has none to miss."""
    assert any("D2" in gate for gate in opened(evidence, "can", "bearing-spalls").sheet().gates)
    assert opened(evidence, "can", "healthy").sheet().gates == ()


def test_steel_flakes_called_wear_are_a_missed_defect(evidence: Make) -> None:
    """A wrong name alone costs marks; going on costs the gate."""
    work = perfect(opened(evidence, "can", "bearing-spalls"))
    flakes = [n for n, h in work.heaps().items() if h.code == "D2"]
    for name in flakes:
        work.judge(name, Judgement("D4", "above", "ground"))
    assert work.sheet().gates == ()
    assert work.sheet().got == work.sheet().out_of - 2 * len(flakes)
    work.judge(flakes[0], Judgement("D2", "within", "trend"))
    assert len(work.sheet().gates) == 1


def test_more_careful_than_needed_is_half_right(evidence: Make) -> None:
    """Grounding a sound engine for the wear paste in its stack: half the marks for the action, no gate."""
    work = perfect(opened(evidence, "disc", "healthy"))
    paste = next(n for n, h in work.heaps().items() if h.code == "D1")
    work.judge(paste, Judgement("D1", "within", "ground"))
    assert work.sheet().got == work.sheet().out_of - 1
    assert work.sheet().gates == ()


def test_swarf_of_the_saw_is_discarded(evidence: Make) -> None:
    """Taken for slivers of the engine it costs the kind and the action; the saw itself costs a mark."""
    work = perfect(opened(evidence, "can", "healthy", "saw"))
    sheet = work.sheet()
    assert sheet.got == sheet.out_of - 1
    swarf = next(n for n, h in work.heaps().items() if h.code == "D17")
    work.judge(swarf, Judgement("D3", "above", "ground"))
    assert work.sheet().got == sheet.got - 4
    assert any("our own saw" in why for m in work.sheet().marks if m.what == swarf for why in m.why)


def test_a_part_that_is_not_sound(evidence: Make) -> None:
    """The stuck valve leaves hardly any debris: only pushing it finds it."""
    work = perfect(opened(evidence, "can", "valve-stuck"))
    work.bad_parts.clear()
    assert any("valve" in gate for gate in work.sheet().gates)


def test_every_kind_has_a_limit_and_a_reason() -> None:
    """The sheet, the facts and the catalogue name the same kinds; the sheet says that it is invented."""
    from glasscan.debris.debris_data import catalogue

    codes = {k.code for k in catalogue().kinds.values()}
    assert set(manual().kinds) == set(sources().kinds) == codes
    assert manual().world == "invented"
    for code in ("D2", "D3", "D12", "D18"):
        assert manual().kinds[code].most == 0


@pytest.mark.parametrize(
    ("kind", "code", "part"),
    [
        ("can", "F01", "valve"),
        ("can", "F02", "valve"),
        ("cartridge", "F08", "medium"),
        ("can", "F09", "medium"),
        ("can", "F13", "lip"),
        ("disc", "F31a", "blades"),
        ("disc", "F31b", "blades"),
    ],
)
def test_parts_are_read_off_the_rig(kind: FilterKind, code: str, part: str) -> None:
    """A fault of the fault data shows in the part that has it; a sound rig shows none."""
    setup = sound_rig(kind)
    assert defects_of(Rig(setup)) == {}
    found = defects_of(Rig(apply(faults()[code], 0.5, setup)))
    assert set(found) == {part}
    assert part in sound_parts(kind)
