"""Comparing pictures so that other font renderers and last-bit differences do not matter, but changes do.

Both are shrunk to half size and softened; then at most `SHARE` of the pixels may differ by more than `STEP`
of 255 in any colour. A row of buttons that moved by a few pixels, or a box of another colour, is beyond that.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pygame

FOLDER = Path(__file__).parent / "references"
FAILED = Path(__file__).parent / "failed"
STEP, SHARE = 24, 0.002
SIZE = (640, 360)


def reduced(surface: pygame.Surface) -> pygame.Surface:
    """The picture as it is kept."""
    return pygame.transform.smoothscale(surface, SIZE)


def soft(surface: pygame.Surface) -> np.ndarray:
    """Softened pixels (w, h, 3)."""
    return pygame.surfarray.array3d(pygame.transform.gaussian_blur(surface, 1)).astype(int)


def different(one: pygame.Surface, other: pygame.Surface) -> np.ndarray:
    """Pixels (w, h) that differ by more than the step."""
    return np.asarray(np.abs(soft(one) - soft(other)).max(axis=2) > STEP)


def side_by_side(kept: pygame.Surface, now: pygame.Surface) -> pygame.Surface:
    """Kept, drawn now, and where they differ (white)."""
    w, h = SIZE
    out = pygame.Surface((3 * w + 20, h))
    out.fill((255, 0, 255))
    marked = np.repeat(different(kept, now)[:, :, None], 3, axis=2) * 255
    for i, picture in enumerate((kept, now, pygame.surfarray.make_surface(marked.astype(np.uint8)))):
        out.blit(picture, (i * (w + 10), 0))
    return out


def complaint(name: str, surface: pygame.Surface) -> str:
    """Empty where the picture is as kept; else what is wrong, and a picture of it in failed/."""
    path = FOLDER / f"{name}.png"
    if not path.is_file():
        return f"{name}: no picture kept; python -m tests.window.record"
    kept, now = pygame.image.load(path), reduced(surface)
    share = float(different(kept, now).mean())
    if share <= SHARE:
        return ""
    FAILED.mkdir(exist_ok=True)
    pygame.image.save(side_by_side(kept, now), FAILED / f"{name}.png")
    return f"{name}: {100 * share:.1f} % of the pixels differ, see tests/window/failed/{name}.png"
