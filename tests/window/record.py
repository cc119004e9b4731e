"""Keep pictures to compare with: `python -m tests.window.record [NAME ...]`. Look at them first."""

import os
import sys

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import pygame

from tests.window.compare_pictures import FOLDER, reduced
from tests.window.gallery import REFERENCES, STATES


def main(names: list[str]) -> None:
    """Draw and keep."""
    pygame.display.init()
    pygame.display.set_mode((640, 480))
    FOLDER.mkdir(exist_ok=True)
    for name in names or REFERENCES:
        surface, _ = STATES[name]()
        pygame.image.save(reduced(surface), FOLDER / f"{name}.png")
        print(f"kept: tests/window/references/{name}.png")


if __name__ == "__main__":
    main(sys.argv[1:])
