"""A few pictures of the window as they were looked at and kept."""

import pygame
import pytest

from tests.window import compare_pictures, gallery


@pytest.mark.parametrize("name", gallery.REFERENCES)
def test_the_window_looks_as_it_was_kept(name):
    """Within the tolerance named in compare_pictures; a failure leaves both pictures side by side."""
    surface, _ = gallery.STATES[name]()
    assert compare_pictures.complaint(name, surface) == ""


def test_a_change_is_seen(tmp_path, monkeypatch):
    """A button moved by a few pixels, or a colour changed, is told and shown; noise of rendering is not."""
    monkeypatch.setattr(compare_pictures, "FAILED", tmp_path)
    surface, _ = gallery.STATES["open-dark"]()
    moved = surface.copy()
    moved.blit(surface, (100, 640), pygame.Rect(96, 640, 400, 70))
    assert "differ" in compare_pictures.complaint("open-dark", moved)
    assert pygame.image.load(tmp_path / "open-dark.png").get_width() > 3 * compare_pictures.SIZE[0]
    pale = surface.copy()
    pygame.draw.rect(pale, (90, 60, 60), pygame.Rect(860, 70, 80, 40))
    assert "differ" in compare_pictures.complaint("open-dark", pale)
    noisy = surface.copy()
    noisy.fill((6, 6, 6), special_flags=pygame.BLEND_RGB_ADD)
    assert compare_pictures.complaint("open-dark", noisy) == ""
    assert "no picture kept" in compare_pictures.complaint("never-drawn", surface)
