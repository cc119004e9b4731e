"""The film keeps its mixture: a magnet takes the iron and no more (common practice)."""

import pytest
from glasscan.workshop.inspection.heaps import Heap, drawn_kg, heaps_at, lens_of, magnet
from glasscan.workshop.inspection.piece_layout import lay_out

from tests.workshop.inspection.conftest import Make


def film(evidence: Make, kind: str, word: str) -> Heap:
    """The heaviest film before the medium."""
    e = evidence(kind, word)
    laid = lay_out(e, 5, "roller" if kind != "disc" else "look")
    heaps = [h for p in ("outside", "cup") for h in heaps_at(laid, p) if h.mix]
    return max(heaps, key=lambda h: h.film_kg)


@pytest.mark.parametrize(
    ("kind", "word", "code"),
    [("can", "bush-wears", "D5"), ("can", "piston-scuffs", "D4"), ("can", "plain-bearing-wipes", "D6")],
)
def test_soft_metal_stays_behind_the_magnet(evidence: Make, kind: str, word: str, code: str) -> None:
    """Bronze, aluminium and bearing metal are not drawn: of their film the magnet takes the iron only."""
    heap = film(evidence, kind, word)
    assert heap.code == code
    assert magnet(heap) == "some"
    iron = heap.mix.get("D1", 0.0) / sum(heap.mix.values())
    assert drawn_kg(heap) < (iron + 0.1) * heap.mass_kg
    assert "all of it" not in lens_of(heap)


@pytest.mark.parametrize(("kind", "word"), [("disc", "healthy"), ("can", "healthy"), ("can", "overdue")])
def test_used_elements_are_mostly_carbon(evidence: Make, kind: str, word: str) -> None:
    """A used pack is mostly carbon and gum; a heap of iron would ground the aircraft (common practice)."""
    heap = film(evidence, kind, word)
    assert heap.code == "D9"
    assert drawn_kg(heap) < 0.4 * heap.mass_kg


def test_an_overdue_element_is_loaded_and_not_iron(evidence: Make) -> None:
    """Grams on the paper, a tenth of them drawn at most."""
    heap = film(evidence, "can", "overdue")
    assert heap.film_kg > 5e-3
    assert drawn_kg(heap) < 0.15 * heap.mass_kg
