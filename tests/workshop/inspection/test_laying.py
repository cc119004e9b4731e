"""What lies on the bench is what the run has left: masses, places, seeds, the saw.

The debris table (which kind, which magnet, where it sits) is that of the trade, common practice without
a source unless a row of assets/debris names one. Masses are held against the plant's own ledger.
"""

from __future__ import annotations

import numpy as np
import pytest
from glasscan.learning.catalogue import load_filter
from glasscan.rig.rig import Rig
from glasscan.window.bench.filter_sources import RIGS, of_state, sound_rig
from glasscan.workshop.inspection.evidence import brought, sources_of
from glasscan.workshop.inspection.heaps import heaps_at, magnet, wash
from glasscan.workshop.inspection.inspection_data import FilterKind
from glasscan.workshop.inspection.piece_layout import OPENINGS, SWARF, lay_out
from glasscan.workshop.inspection.planted_filters import stories_for

from tests.workshop.inspection.conftest import Make

CASES: list[tuple[FilterKind, str]] = [
    ("can", "healthy"),
    ("can", "bearing-spalls"),
    ("cartridge", "dirty-servicing"),
    ("disc", "blades-bent"),
]


@pytest.mark.parametrize(("kind", "word"), CASES)
def test_the_mass_adds_up(evidence: Make, kind: FilterKind, word: str) -> None:
    """Pieces times what they stand for, and the film, are the mass of ledger and bodies to rounding."""
    e = evidence(kind, word)
    laid = lay_out(e, 5, OPENINGS[kind][0])
    assert laid.mass_kg == pytest.approx(e.mass_kg, rel=1e-9)
    heavy = [p for p in laid.pieces if p.stands_for > 1.5]
    assert all(p.mass_kg > 0 for p in laid.pieces)
    assert kind != "disc" or heavy  # coarse dirt of the radial: one drawn piece stands for many


def test_the_deposit_is_that_of_the_ledger() -> None:
    """Kinds split every class and segment of the rig's own ledger; nothing is added, nothing lost."""
    rig = Rig(sound_rig("can"))
    rig.set("rpm", 2400.0)
    rig.advance_to(600.0)
    work = of_state(rig, "can-full-flow", 1)
    assert np.allclose(work.evidence.held.sum(axis=0), rig.state.dirt.held, rtol=1e-12, atol=0)
    assert work.evidence.held.sum() > 1e-6
    came = brought(sources_of(rig)).mass_kg.sum(axis=0)
    assert np.allclose(came, rig.start_dirt.total + rig.state.dirt.let_in, rtol=1e-9, atol=1e-18)


def test_the_same_seed_gives_the_same_bench(evidence: Make) -> None:
    """Every place and outline again; another seed lays it out otherwise, with the same mass."""
    e = evidence("can", "bearing-spalls")
    one, again, other = (lay_out(e, seed, "roller") for seed in (5, 5, 6))
    assert [(p.code, p.along, p.up, p.size_m, p.turn) for p in one.pieces] == [
        (p.code, p.along, p.up, p.size_m, p.turn) for p in again.pieces
    ]
    assert all(np.array_equal(p.outline, q.outline) for p, q in zip(one.pieces, again.pieces, strict=True))
    assert [p.turn for p in one.pieces] != [p.turn for p in other.pieces]
    assert other.mass_kg == pytest.approx(one.mass_kg, rel=1e-9)


def test_a_saw_adds_swarf_on_the_outside_only(evidence: Make) -> None:
    """Curls of the saw lie on the outside, and they are all that the saw changes."""
    e = evidence("can", "healthy")
    clean, sawn = lay_out(e, 5, "roller"), lay_out(e, 5, "saw")
    swarf = [p for p in sawn.pieces if p.code == SWARF]
    assert {p.place for p in swarf} == {"outside"}
    assert len(sawn.pieces) - len(swarf) == len(clean.pieces)
    assert not any(p.code == SWARF for p in clean.pieces)
    assert sawn.mass_kg == pytest.approx(clean.mass_kg)


def test_washing_before_looking_takes_evidence_away(evidence: Make) -> None:
    """Of the film on the stack a tenth is left; what is gone is told, and the books still close."""
    e = evidence("disc", "blades-bent")
    looked, washed = lay_out(e, 5, "look"), lay_out(e, 5, "wash")
    assert sum(washed.film_at("outside").values()) == pytest.approx(
        0.1 * sum(looked.film_at("outside").values())
    )
    assert washed.lost_kg + washed.mass_kg == pytest.approx(e.mass_kg, rel=1e-9)
    assert washed.lost_kg > 1e-5


@pytest.mark.parametrize(
    ("kind", "word"), [("can", "bearing-spalls"), ("can", "piston-scuffs"), ("can", "water")]
)
def test_the_magnet_sorts_by_material(evidence: Make, kind: FilterKind, word: str) -> None:
    """Steel and iron follow it, aluminium, silica and rubber do not, chromium not, rust in part (trade)."""
    pulls = {"D1": "all", "D2": "all", "D4": "none", "D8": "none", "D9": "none", "D11": "some", "D16": "none"}
    heaps = [h for p in ("cup", "outside") for h in heaps_at(lay_out(evidence(kind, word), 5, "roller"), p)]
    assert len({h.code for h in heaps}) >= 2
    assert all(magnet(h) == pulls[h.code] for h in heaps if h.code in pulls and not h.mix)


def test_where_it_sits_follows_from_the_fault(evidence: Make) -> None:
    """A sound element has nothing behind it; a tear, an open valve, a painted flange have (the core tells
    of F02, F07, F08, F09, F11)."""

    def behind(word: str) -> set[str]:
        laid = lay_out(evidence("can", word), 5, "roller")
        return {p.code for p in laid.pieces if p.place in ("inside", "core")}

    assert behind("healthy") == set()
    assert behind("bearing-spalls") == set()
    assert "D15" in behind("medium-torn")
    assert "D9" in behind("valve-open")
    assert behind("flange-paint") == {"D14"}


def test_torn_fibres_lie_at_the_tear(evidence: Make) -> None:
    """Fibres behind the medium gather at the height of the hole of the rig."""
    e = evidence("can", "medium-torn")
    ups = [b.up for b in e.bodies if b.place == "inside" and b.code == "D15"]
    assert abs(float(np.median(ups)) - 0.5) < 0.1  # the fault data put the tear half way up
    assert float(np.std(ups)) < 0.15


def test_bent_blades_leave_bands(evidence: Make) -> None:
    """The gaps that bent blades miss hold several times what the others hold."""
    by_gap = evidence("disc", "blades-bent").held.sum(axis=(0, 1))
    assert np.quantile(by_gap, 0.9) > 3 * np.quantile(by_gap, 0.1)
    even = evidence("disc", "never-turned").held.sum(axis=(0, 1))
    assert np.quantile(even, 0.9) < 1.5 * np.quantile(even, 0.1)


def test_the_patch_and_its_code(evidence: Make) -> None:
    """Dust stains tan (NAVEDTRA 14315), a piston engine's soot black and its wear grey (common practice).

    More dirt gives higher ISO 4406 numbers.
    """
    worn = wash(evidence("can", "bearing-spalls"))
    assert max(worn.shares, key=worn.shares.__getitem__) == "grey"
    sound, dusty = wash(evidence("can", "healthy")), wash(evidence("cartridge", "dirty-servicing"))
    assert max(dusty.shares, key=dusty.shares.__getitem__) == "tan"
    assert max(sound.shares, key=sound.shares.__getitem__) == "black"
    assert sum(sound.shares.values()) == pytest.approx(1.0)
    codes = [[int(x) for x in p.code.split("/")] for p in (sound, dusty)]
    assert all(a < b for a, b in zip(*codes, strict=True))


def test_every_kind_of_filter_has_stories() -> None:
    """At least six for each, and every filter file of a story exists."""
    for kind in RIGS:
        assert len(stories_for(kind)) >= 6
        assert load_filter(RIGS[kind][0]).kind == kind
