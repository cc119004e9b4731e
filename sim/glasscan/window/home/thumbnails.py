"""Small pictures of the filters for the first screen: real cutaways with oil in motion, drawn once and kept.

Solving three filters takes seconds, so it is done beside the window (`work_out`), and the pictures are
kept in the user's cache folder under a name that changes with the program, the filter and the theme.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, cast

from glasscan import __version__
from glasscan.files import write_whole
from glasscan.paths import asset
from glasscan.ui.worker_process import Tell

if TYPE_CHECKING:
    import pygame

    from glasscan.filters.section import Section
    from glasscan.rig.records import Snapshot
    from glasscan.window import contract

SIZE = (560, 840)
SCALE = 0.8  # of marks and hatching

WARM_C, RPM, RUN_S = 40.0, 900.0, 12.0  # the moment shown: warm oil, fast idle, gallery filling
OIL, RIG = "sae-50-mineral", "piston-single"
MARKS, SEED, SETTLE, SETTLE_S = 420, 5, 150, 0.02
PAD = 8


def cache_folder() -> Path:
    """Folder of the small pictures: in the cache that the environment names, else that of this system."""
    from glasscan import paths

    return paths.cache_folder() / "filters"


def picture_name(filter_name: str, theme: str) -> str:
    """Name of the file that keeps a picture."""
    digest = hashlib.sha256(__version__.encode())
    for path in (asset("filters", f"{filter_name}.yaml"), asset("theme.yaml")):
        digest.update(path.read_bytes())
    return f"{filter_name}-{theme}-{digest.hexdigest()[:12]}.png"


def kept(names: Sequence[str], theme: str, folder: Path | None = None) -> dict[str, bytes]:
    """Pictures found in the cache, as PNG, by name of the filter."""
    found = {}
    for name in names:
        with contextlib.suppress(OSError):
            found[name] = ((folder or cache_folder()) / picture_name(name, theme)).read_bytes()
    return found


def work_out(
    names: Sequence[str], themes: Sequence[str], tell: Tell, folder: Path | None = None
) -> dict[tuple[str, str], bytes]:
    """Draw filters in every theme; keeps the pictures where the cache can be written.

    The metal alone is handed over first, as it needs no solving; then each picture as it is ready.

    Returns:
        PNG by (filter, theme).
    """
    drawn = {}
    tell(0.0, {(name, theme): as_png(metal_only(name, theme)) for theme in themes for name in names})
    for i, name in enumerate(names):
        solved, moment = solve(name)
        for theme in themes:
            data = drawn[name, theme] = as_png(draw(solved, moment, theme))
            with contextlib.suppress(OSError):
                write_whole((folder or cache_folder()) / picture_name(name, theme), data)
        tell((i + 1) / len(names), {(name, theme): drawn[name, theme] for theme in themes})
    return drawn


def solve(name: str) -> tuple[Section, Snapshot]:
    """A filter on the piston rig with warm oil, some seconds after the start."""
    from glasscan.filters.build import build
    from glasscan.filters.filter_data import FilterData
    from glasscan.learning.catalogue import load_filter, load_fluid, load_plant
    from glasscan.rig.runner import run
    from glasscan.rig.setup import RigSetup

    solved = build(FilterData(load_filter(name)))
    fluid, plant = load_fluid(OIL), load_plant(RIG)
    setup = RigSetup(fluid, solved.network, plant, WARM_C, WARM_C, 1.0, rpm=RPM, end_s=RUN_S)
    return solved, run(setup).final


def metal_only(name: str, theme_name: str) -> pygame.Surface:
    """The cut parts without oil, for the first seconds: true to scale, and ready at once."""
    import pygame

    from glasscan.filters.build import parts_of
    from glasscan.filters.filter_data import FilterData
    from glasscan.learning.catalogue import load_filter
    from glasscan.ui.theme import load_theme
    from glasscan.window.cutaway.metal import parts_layer
    from glasscan.window.cutaway.section_view import fit

    theme, surface = load_theme(theme_name), pygame.Surface(SIZE)
    surface.fill(theme["sheet"])
    parts = cast("list[contract.Part]", list(parts_of(FilterData(load_filter(name)))))
    view = fit(parts, surface.get_rect().inflate(-2 * PAD, -2 * PAD))
    surface.blit(parts_layer(parts, view, surface.get_rect(), theme, SCALE), (0, 0))
    return surface


def draw(solved: Section, moment: Snapshot, theme_name: str) -> pygame.Surface:
    """The cutaway of a moment on the colour of a panel."""
    import pygame

    from glasscan.filters.carriers import Carriers
    from glasscan.ui.display_units import SYSTEMS
    from glasscan.ui.theme import load_theme
    from glasscan.window.cutaway.cutaway import Cutaway, wet_cells
    from glasscan.window.cutaway.cutaway_view import fast_m_s, hurry, pressure_scale
    from glasscan.window.cutaway.section_view import fit
    from glasscan.window.cutaway.streaks import rate_for

    shown, valve = cast("contract.Section", solved), solved.network.valve
    lift = valve.max_lift_m if valve else 0.0
    theme, surface = load_theme(theme_name), pygame.Surface(SIZE)
    surface.fill(theme["sheet"])
    view = fit(shown.parts, surface.get_rect().inflate(-2 * PAD, -2 * PAD))
    cut = Cutaway(shown, wet_cells(shown, moment, lift), view, theme, SCALE, lift, "sheet")
    frame = shown.frame(moment)
    carriers = Carriers(solved, MARKS, SEED)
    hurry(carriers, frame, SETTLE)
    scale = pressure_scale(moment, moment.dp_pa, None, SYSTEMS[0].pressure)
    cut.draw_ground(surface)
    cut.draw(surface, frame, moment, scale, carriers, rate_for(fast_m_s(frame), view.px_m / SCALE))
    return surface


def as_png(surface: pygame.Surface) -> bytes:
    """A surface as the bytes of a PNG file."""
    import pygame

    stream = io.BytesIO()
    pygame.image.save(surface, stream, "picture.png")
    return stream.getvalue()


def as_surface(data: bytes) -> pygame.Surface | None:
    """The picture of a PNG file; None where it is damaged."""
    import pygame

    try:
        picture = pygame.image.load(io.BytesIO(data), "picture.png")
    except pygame.error:
        return None
    return picture if picture.get_size() == SIZE else None
