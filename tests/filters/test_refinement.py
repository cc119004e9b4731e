"""The usual grid of each filter is fine enough."""

import pytest

from tests.filters.refinement import FILTERS, study


@pytest.mark.parametrize("name", FILTERS)
def test_the_usual_grid_is_within_its_error_bar(name):
    """The drop of the whole clean filter is within 0.5 % of its limit on the usual grid."""
    assert study(name)[2] < 0.005


def test_the_chambers_of_the_cartridge_are_resolved():
    """Both chambers by themselves are within 0.5 %.

    The can's lip cuts cells, which makes two grids no bar: `test_can` holds its chamber to finite elements.
    The mouths of disc gaps, one cell high, are not resolved.
    """
    assert study("cartridge-bowl")[1].max() < 0.005
