"""A short soak of window and plant: nothing piles up, the books stay closed."""

import numpy as np

from tests.fuzz.soak import plant, window


def test_window_leaves_nothing_behind_from_lap_to_lap():
    """Three laps of 5 s with use: after the second, living objects grow by less than 1 %."""
    soaked = window(15.0, laps=3)
    assert soaked.frames > 150
    assert soaked.objects[2] < 1.01 * soaked.objects[1]


def test_plant_keeps_its_books_for_thirty_hours():
    """Starts, stops and frost in steps of an hour: both books closed to 1e-9."""
    rows = np.array(list(plant(30)))
    assert np.abs(rows[:, :2]).max() < 1e-9
