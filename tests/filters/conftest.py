"""One solved can for all tests of the filters."""

from types import SimpleNamespace

import numpy as np
import pytest
import yaml
from glasscan.filters.build import build
from glasscan.filters.can import geometry
from glasscan.filters.filter_data import CanData, FilterData
from glasscan.paths import asset


@pytest.fixture(scope="session")
def can_data():
    """Data of the shipped spin-on can."""
    return CanData.model_validate(yaml.safe_load(asset("filters", "can-full-flow.yaml").read_text()))


@pytest.fixture(scope="session")
def section(can_data):
    """The solved section of the shipped can."""
    return geometry.build(can_data)


@pytest.fixture(scope="session", params=["can-full-flow", "cartridge-bowl", "disc-stack"])
def any_section(request):
    """The solved section of each shipped filter in turn."""
    text = asset("filters", f"{request.param}.yaml").read_text()
    return build(FilterData.model_validate(yaml.safe_load(text)))


@pytest.fixture
def any_moment(any_section):
    """Warm oil and uneven flow through any filter."""
    return _moment(any_section.network.segments)


@pytest.fixture
def moment():
    """Warm oil, uneven flow through the can's element, the valve part open."""
    return _moment(12)


def _moment(segments):
    return SimpleNamespace(
        inlet_pa=4.5e5,
        outlet_pa=4.0e5,
        mu_pa_s=0.08,
        rho_kg_m3=870.0,
        segment_m3s=np.linspace(1.0, 3.0, segments) * 1.2e-4 / segments,
        bypass_m3s=6e-5,
        lift_m=0.8e-3,
    )
