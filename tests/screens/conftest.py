"""The window's tests run without a display: SDL's dummy driver."""

import os

os.environ["SDL_VIDEODRIVER"] = "dummy"
os.environ["SDL_AUDIODRIVER"] = "dummy"

import pygame
import pytest


@pytest.fixture(autouse=True)
def _pygame():
    """A display for each test, none left over."""
    pygame.init()
    pygame.display.set_mode((1280, 720))
    yield
    pygame.event.clear()
