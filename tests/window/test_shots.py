"""The pictures of the README: each is there, has words for those who cannot see it, and can be drawn anew."""

import re
from pathlib import Path

import pygame
import pytest
from glasscan.ui.page import Page
from glasscan.window import readme_pictures

TOP = Path(__file__).parents[2]
README = (TOP / "README.md").read_text(encoding="utf-8")
MOST_BYTES = 1_500_000
MOST_MOVING = 500_000


def test_readme_shows_every_picture_with_words():
    """Every picture that the command draws stands in the README with a sentence, and no other."""
    shown = dict(re.findall(r"!\[([^\]]+)\]\(assets/pictures/([a-z-]+)\.(?:jpg|gif)\)", README))
    assert set(shown.values()) == {*readme_pictures.SHOTS, readme_pictures.MOVING}
    assert all(len(words) > 40 for words in shown)


def test_pictures_are_kept_small():
    """All of them together, and each as large as the command makes it."""
    files = list((TOP / "assets" / "pictures").glob("*"))
    assert {f.stem for f in files} == {*readme_pictures.SHOTS, readme_pictures.MOVING}
    still = [f for f in files if f.stem != readme_pictures.MOVING]
    assert sum(f.stat().st_size for f in still) < MOST_BYTES
    assert all(f.stat().st_size < MOST_MOVING for f in files if f not in still)
    for file in files:
        moving = file.stem == readme_pictures.MOVING
        size = readme_pictures.MOVING_PX if moving else readme_pictures.SAVED
        assert pygame.image.load(file).get_size() == size


class Steps(Page):
    """A page that is left by Escape and counts other keys."""

    def __init__(self, desk):
        super().__init__(desk)
        self.pressed = []

    def _key(self, event):
        self.pressed.append(event.key)
        super()._key(event)


def test_the_camera_goes_through_pages():
    """Keys of the first page lead to the second, whose picture is kept; then the window is closed."""
    camera = readme_pictures.Camera([["a", "escape"], ["b"]])
    first, second = Steps(camera.desk), Steps(camera.desk)
    assert camera.show(first)
    assert first.leave
    assert not camera.show(second)
    assert second.pressed == [pygame.K_b]
    assert not second.leave
    assert camera.surface.get_at((5, 5)) != (0, 0, 0, 255)


def test_a_picture_is_drawn_and_kept(tmp_path, monkeypatch):
    """The command writes the pictures asked for into the folder asked for."""
    surface = pygame.Surface(readme_pictures.DRAWN)
    surface.fill((10, 120, 200))
    monkeypatch.setitem(readme_pictures.SHOTS, "sample", lambda: surface)
    for place in (
        "XDG_DATA_HOME",
        "XDG_CACHE_HOME",
        "XDG_STATE_HOME",
        "XDG_CONFIG_HOME",
        "XDG_DOCUMENTS_DIR",
    ):
        monkeypatch.setenv(place, str(tmp_path))
    assert readme_pictures.main([str(tmp_path / "deep"), "sample"]) == 0
    kept = pygame.image.load(tmp_path / "deep" / "sample.jpg")
    assert kept.get_size() == readme_pictures.SAVED
    assert kept.get_at((50, 50))[:3] == pytest.approx((10, 120, 200), abs=8)
