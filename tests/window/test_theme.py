"""Colours: contrast by WCAG 2.2, an even pressure ramp, marks told apart without colour."""

import numpy as np
import pytest
from glasscan.ui import theme as th

THEMES = [th.load_theme(name) for name in th.THEMES]
PAIRS = th.raw()["pairs"]


def lab_of(srgb):
    """CIE L*a*b* (D65) of sRGB 0..1, written out from IEC 61966-2-1 and CIE 15; status: MEMORY."""
    linear = np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)
    m = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
    xyz = linear @ m.T / np.array([0.9505, 1.0, 1.089])
    f = np.where(xyz > (6 / 29) ** 3, np.cbrt(xyz), xyz / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.stack([116 * f[:, 1] - 16, 500 * (f[:, 0] - f[:, 1]), 200 * (f[:, 1] - f[:, 2])], axis=1)


# Simulated dichromacy on linear RGB, Viénot, Brettel and Mollon 1999; status: MEMORY.
DICHROMACY = {
    "protan": [[0.11238, 0.88762, 0.0], [0.11238, 0.88762, 0.0], [0.00401, -0.00401, 1.0]],
    "deutan": [[0.29275, 0.70725, 0.0], [0.29275, 0.70725, 0.0], [-0.02234, 0.02234, 1.0]],
}


def as_seen(srgb, kind):
    """sRGB as someone with the named colour vision would see it."""
    linear = np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)
    seen = np.clip(linear @ np.array(DICHROMACY[kind]).T, 0, 1)
    return np.where(seen <= 0.0031308, seen * 12.92, 1.055 * seen ** (1 / 2.4) - 0.055)


def test_contrast_matches_the_published_examples():
    """WCAG's well-known border: #767676 on white passes 4.5:1 (4.54), #777777 does not (4.48)."""
    assert th.contrast(th.rgb("#767676"), (255, 255, 255)) == pytest.approx(4.54, abs=0.005)
    assert th.contrast(th.rgb("#777777"), (255, 255, 255)) == pytest.approx(4.48, abs=0.005)
    assert th.contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0)


@pytest.mark.parametrize("theme", THEMES, ids=th.THEMES)
@pytest.mark.parametrize(("kind", "least"), [("text", 4.5), ("parts", 3.0)])
def test_theme_reaches_wcag_contrast(theme, kind, least):
    """WCAG 2.2, 1.4.3 (text 4.5:1) and 1.4.11 (parts 3:1)."""
    short = {(a, b): th.contrast(theme[a], theme[b]) for a, b in PAIRS[kind]}
    assert {pair: ratio for pair, ratio in short.items() if ratio < least} == {}


def test_both_themes_have_the_same_keys():
    """A key that one theme lacks would fail only when a class switches."""
    assert THEMES[0].colours.keys() == THEMES[1].colours.keys()


def test_pressure_ramp_is_even_and_rises_in_lightness():
    """Equal pressure steps look equal: CIELAB steps vary less than 2.2-fold, and L* rises all the way."""
    lab = lab_of(THEMES[0].ramp[::15] / 255)
    steps = np.linalg.norm(np.diff(lab, axis=0), axis=1)
    assert np.all(np.diff(lab[:, 0]) > 0)
    assert lab[-1, 0] - lab[0, 0] > 60
    assert steps.max() / steps.min() < 2.2


@pytest.mark.parametrize("kind", DICHROMACY)
def test_pressure_ramp_keeps_its_order_for_colour_blind_eyes(kind):
    """Seen through red or green blindness the ramp still gets lighter at every step."""
    lab = lab_of(as_seen(THEMES[0].ramp[::15] / 255, kind))
    assert np.all(np.diff(lab[:, 0]) > 1.0)


def test_kinds_of_oil_differ_in_pattern_and_show_on_every_pressure():
    """Three patterns; core and rim stand 3:1 apart, so one of them always stands out from the ramp."""
    streaks = THEMES[0].streaks
    assert len({s.pattern for s in streaks.values()}) == 3
    for streak in streaks.values():
        assert th.contrast(streak.core, streak.rim) >= 3.0
        for under in THEMES[0].ramp[::15]:
            back = tuple(int(c) for c in under)
            assert max(th.contrast(streak.core, back), th.contrast(streak.rim, back)) >= 3.0


def test_cut_metal_hatching_shows_on_its_fill():
    """Hatch lines carry meaning (a cut surface), so they follow the 3:1 rule for parts."""
    for word, m in THEMES[0].materials.items():
        assert th.contrast(m.fill, m.hatch) >= 3.0, word
