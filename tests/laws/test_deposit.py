"""Deposit between two panels: its volume by integration over the depth."""

import pytest
from glasscan.laws.deposit import MOST_FULL, PleatRoom


@pytest.mark.parametrize("layer_mm", [0.16, 0.2, 0.3])
def test_a_wedge_is_filled_by_the_volume_given(layer_mm: float) -> None:
    """Half the width up to where two layers meet, an even layer beyond: together the volume (by hand).

    Where they meet, two layers are as wide as the channel there.
    """
    mouth, tip, layer = 1.2e-3, 0.3e-3, layer_mm * 1e-3
    share, ratio = (float(x) for x in PleatRoom(mouth, tip).filled(layer))
    thick = ratio * layer
    assert 0.0 < share < 1.0
    assert tip + (mouth - tip) * share == pytest.approx(2 * thick)
    bridged = (tip * share + (mouth - tip) * share**2 / 2) / 2
    assert bridged + thick * (1 - share) == pytest.approx(layer)


def test_a_thin_layer_bridges_nothing() -> None:
    """Two layers thinner than the fold is wide: all of it open, as thick as told."""
    share, ratio = PleatRoom(1.2e-3, 0.3e-3).filled(0.1e-3)
    assert (float(share), float(ratio)) == (0.0, 1.0)


def test_a_wedge_that_is_all_but_full_stays_finite() -> None:
    """However much is put in, the share ends at the fullest: 1 - sqrt(1 - MOST_FULL), below 1."""
    share, ratio = PleatRoom(1.2e-3, 0.3e-3).filled(1.0)
    assert float(share) == pytest.approx(1.0 - (1.0 - MOST_FULL) ** 0.5)
    assert 0.0 < float(ratio) < 1.0
