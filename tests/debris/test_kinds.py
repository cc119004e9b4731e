"""The debris files: complete, plausible, with sources; bodies drawn from them fit their kind."""

from __future__ import annotations

import numpy as np
import pytest
from glasscan.content import BadInput
from glasscan.debris.debris_data import Catalogue, catalogue
from glasscan.debris.piece_shapes import draw_piece

# Density of pure or usual stuff, kg/m3: rounded from handbook tables (MEMORY).
HANDBOOK = {
    "steel": 7850, "aluminium": 2700, "bronze": 8800, "silver": 10490, "chromium": 7190, "silica": 2650,
}  # fmt: skip
MAGNET = {
    "D1": "yes",
    "D2": "yes",
    "D3": "yes",
    "D4": "no",
    "D5": "no",
    "D6": "no",
    "D7": "no",
    "D10": "no",
    "D17": "yes",
}


def test_all_kinds_are_there():
    """D1 to D18 of the debris table and scraped cake, each once, each with a source."""
    kinds = catalogue().kinds.values()
    assert [k.code for k in kinds] == [*(f"D{n}" for n in range(1, 19)), "C1"]
    assert all(k.source and k.status for k in kinds)


@pytest.mark.parametrize(("key", "density"), HANDBOOK.items())
def test_densities_are_those_of_handbooks(key, density):
    """Metals and minerals have their handbook density within 2 %."""
    assert catalogue().materials[key].density_kg_m3 == pytest.approx(density, rel=0.02)


@pytest.mark.parametrize(("code", "pull"), MAGNET.items())
def test_magnet_sorts_as_the_trade_does(code, pull):
    """A magnet holds ferrous debris and no other (TM 55-2840-251-23; else common practice, no source)."""
    kinds = catalogue()
    assert kinds.material(kinds.kind(code)).magnetic == pull


@pytest.mark.parametrize("key", list(catalogue().kinds))
def test_pieces_fit_their_kind(key):
    """Outlines are convex, counter-clockwise, about their middle, of the size range, with a real volume."""
    kind, random = catalogue().kinds[key], np.random.default_rng(0)
    low, high = (1e-3 * s for s in kind.size_mm)
    for _ in range(20):
        piece = draw_piece(kind, random)
        apart = piece.outline[:, None] - piece.outline[None]
        longest = np.hypot(*apart.transpose(2, 0, 1)).max()
        side = np.roll(piece.outline, -1, axis=0) - piece.outline
        after = np.roll(side, -1, axis=0)
        assert low * 0.999 <= longest <= high * 1.001
        assert (side[:, 0] * after[:, 1] - side[:, 1] * after[:, 0] > 0).all()
        assert 0 < piece.volume_m3 <= np.pi / 6 * longest**3 * 1.001
        assert piece.factor >= 1


def test_kind_of_unknown_stuff_is_refused():
    """A kind of a material that is not in the file is refused with the nearest name."""
    known = catalogue()
    kind = known.kind("D2").model_copy(update={"material": "stel"})
    with pytest.raises(BadInput, match="did you mean 'steel'"):
        Catalogue((kind,), tuple(known.materials.values()))
