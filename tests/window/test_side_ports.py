"""The bores in the sides of a head, in the frame that `glasscan shot` draws: where oil comes in and leaves.

That the whole flow of the filter goes through either bore is conservation of volume; that cartridge and
edge-type housings are piped at the sides of their heads is common practice, no source.
"""

from __future__ import annotations

import json

import numpy as np
import pygame
import pytest
from glasscan.cli.main import main
from glasscan.filters.build import build
from glasscan.filters.filter_data import FilterData
from glasscan.learning.catalogue import load_filter
from glasscan.ui.theme import load_theme
from glasscan.window.cutaway.section_view import View
from glasscan.window.cutaway.side_ports import SidePorts

AREA = pygame.Rect(0, 0, 800, 600)
LESSONS = {
    "cartridge-bowl": "cartridge-cold-start",
    "disc-stack": "turn-the-handle",
    "can-full-flow": "warm-start",
}


def shot(capsys, tmp_path, lesson, at_s):
    """The facts of a frame, and the frame."""
    out = tmp_path / "frame.png"
    assert main(["shot", lesson, "--at", str(at_s), "--out", str(out), "--json", "--size", "1280x720"]) == 0
    return json.loads(capsys.readouterr().out)["drawn"], pygame.image.load(str(out))


@pytest.mark.parametrize(("name", "lesson"), LESSONS.items())
def test_arrows_stand_where_the_ports_are(name, lesson, capsys, tmp_path):
    """Heads are piped from the left to the right; a can stands on its base, oil goes up and comes down."""
    drawn, _ = shot(capsys, tmp_path, lesson, 10.0)
    ways = [drawn["ports"][port]["arrow"] for port in ("inlet", "outlet")]
    assert ways == (["up", "down"] if name == "can-full-flow" else ["right", "right"])
    assert drawn["ports"]["inlet"]["lpm"] == drawn["ports"]["outlet"]["lpm"] > 1.0


@pytest.mark.parametrize("name", ["cartridge-bowl", "disc-stack"])
def test_all_oil_goes_through_either_bore(name):
    """The flow through the slot of the solved section is that of the filter."""
    section = build(FilterData(load_filter(name)))
    layout = section.layout
    for way, sign in ((layout.inlet, 1.0), (layout.outlet, -1.0)):
        nx, ny = section.grid.shape
        velocity = section.levels[0].velocity[: section.network.segments].mean(axis=0)
        outward = velocity[: (nx + 1) * ny].reshape(nx + 1, ny)
        rising = velocity[(nx + 1) * ny :].reshape(nx, ny + 1)
        assert way.face_flows(outward, rising, section.grid).sum() == pytest.approx(sign, rel=1e-3)


def test_marks_of_a_bore_follow_poiseuille():
    """Twice the mean speed in the middle, none at the wall, a parabola between."""
    section = build(FilterData(load_filter("cartridge-bowl")))
    view = View(400.0, 500.0, 2000.0, AREA)
    ports = SidePorts(section, view, load_theme("dark"), 1.0)
    way, flow = ports.ways[1], 2e-4
    marks, speed = ports.marks(way, False, 0.0, flow, 0.0)
    radius = (way.z1 - way.z0) / 2
    mean = flow / (np.pi * radius**2)
    y = (marks.positions_m[:, 1] - (way.z0 + way.z1) / 2) / radius
    assert speed == pytest.approx(2 * mean * (1 - y**2))
    later, _ = ports.marks(way, False, 1e-7, flow, 0.0)
    moved = (later.positions_m - marks.positions_m)[:, 0] % (way.end_r - way.r)
    assert moved == pytest.approx((speed * 1e-7 / flow) % (way.end_r - way.r), abs=1e-9)
