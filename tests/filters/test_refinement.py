"""The usual grid of each filter is fine enough."""

import pytest

from tests.filters.refinement import FILTERS, study


@pytest.mark.parametrize("name", FILTERS)
def test_the_usual_grid_is_within_its_error_bar(name):
    """The drop of the whole clean filter is within 0.5 % of its limit on the usual grid."""
    assert study(name)[2] < 0.005


@pytest.mark.parametrize("name", FILTERS[:2])
def test_the_chambers_of_pleated_filters_are_resolved(name):
    """Both chambers by themselves are within 3 % (the mouths of disc gaps, one cell high, are not)."""
    assert study(name)[1].max() < 0.03
