"""An inspection in words and plain numbers, for the command line and for reports."""

from __future__ import annotations

from typing import Any

from glasscan.debris.debris_data import catalogue
from glasscan.workshop.inspection.heaps import PLACE_WORDS, Heap, drawn_kg, lens_of, magnet, needle_of
from glasscan.workshop.inspection.inspection import Inspection
from glasscan.workshop.inspection.inspection_data import manual
from glasscan.workshop.inspection.judgement import LimitSheet, truth


def look_of(heap: Heap, kind: str) -> dict[str, Any]:
    """What can be seen and felt of a heap; its kind is not told."""
    known = catalogue().kind(heap.code)
    return {
        "heap": heap.id,
        "place": PLACE_WORDS[kind][heap.place],
        "pieces": heap.count,
        "counted": heap.counted,
        "longest_mm": round(heap.longest_m * 1e3, 2),
        "one_drawn_stands_for": round(heap.stands_for, 1),
        "mass_mg": round(heap.mass_kg * 1e6, 2),
        "film_mg": round(heap.film_kg * 1e6, 2),
        "colours": list(known.colours),
        "magnet": magnet(heap),
        "magnet_mg": round(drawn_kg(heap) * 1e6, 2),
        "needle": needle_of(heap),
        "lens": lens_of(heap),
    }


def inspection_told(work: Inspection, solve: bool) -> dict[str, Any]:
    """The whole bench.

    Args:
        work: an open inspection.
        solve: tell kinds, amounts and actions by the example sheet, and what it was.
    """
    e, sheet, patch = work.evidence, manual(), work.make_patch()
    heaps = work.heaps()
    told: dict[str, Any] = {
        "filter": e.element.kind,
        "hours": round(e.hours, 2),
        "opened": work.bench.opened,
        "mass_mg": round(e.mass_kg * 1e6, 3),
        "laid_out_mg": round(work.bench.mass_kg * 1e6, 3),
        "patch": {"stains": {k: round(v, 4) for k, v in patch.shares.items()}, "iso4406": patch.code},
        "heaps": [look_of(h, e.element.kind) for h in heaps.values()],
        "parts": dict(e.parts),
        "sheet": {"manual": sheet.manual, "world": sheet.world, "about": sheet.about},
    }
    if solve:
        right = {name: truth(h, e) for name, h in heaps.items()}
        told["story"], told["tells"] = e.story or None, e.tells or None
        told["not_sound"] = sorted(e.defects)
        told["gone_with_the_oil"] = dict(e.gone)
        told["right"] = {
            n: {"kind": t.kind, "amount": t.amount, "action": t.action} for n, t in right.items()
        }
    return told


def marks_told(sheet: LimitSheet) -> dict[str, Any]:
    """Marks and gates."""
    return {
        "marks": sheet.got,
        "out_of": sheet.out_of,
        "gates": list(sheet.gates),
        "each": [{"what": m.what, "got": m.got, "out_of": m.out_of, "right": m.right} for m in sheet.marks],
    }
