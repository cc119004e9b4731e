"""What the parts on the rod make of the gaps: geometry of a clamped pack, and plane Poiseuille flow."""

import pytest
from glasscan.laws.disc_pack import DiscPack

GAP, BLADE = 127e-6, 100e-6
SOUND = DiscPack.sound(116, GAP, BLADE)


def test_a_missing_spacer_shuts_its_gap() -> None:
    """Clamped discs touch: no flow there, one blade pinched, pack short by one spacer (geometry)."""
    pack = SOUND.changed(58, spacers=0)
    assert pack.conductance()[58] == 0.0
    assert sum(pack.conductance()) == pytest.approx(115.0)
    assert pack.pinched == 1
    assert pack.height_over_drawing_m() == pytest.approx(-GAP)


def test_a_second_spacer_makes_eight_times_the_flow() -> None:
    """Twice the height, eight times the flow (cube law), pack higher by one spacer."""
    pack = SOUND.changed(58, spacers=2)
    assert pack.conductance()[58] == pytest.approx(8.0)
    assert pack.height_over_drawing_m() == pytest.approx(GAP)
    assert pack.pinched == 0


def test_a_burr_tilts_its_gap() -> None:
    """Mean of (h + e (1 + cos))^3 round the rim, worked out by summing (closed form 1 + 1.5 (e/m)^2)."""
    from math import cos, pi

    rise = 150e-6
    mean = GAP + rise / 2
    by_hand = sum((mean + rise / 2 * cos(2 * pi * k / 720)) ** 3 for k in range(720)) / 720 / GAP**3
    assert SOUND.changed(3, lifted_m=rise).conductance()[3] == pytest.approx(by_hand, rel=1e-9)


def test_a_slack_nut_opens_all_gaps_a_little() -> None:
    """Slack is shared: 3 mm over 116 gaps is 26 um each, and no gap can be twice its width (geometry)."""
    from dataclasses import replace

    pack = replace(SOUND, slack_m=3e-3)
    assert max(pack.widest_m) == pytest.approx(GAP + 3e-3 / 116)
    assert pack.height_over_drawing_m() == pytest.approx(0.0, abs=1e-12)
