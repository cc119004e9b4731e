"""Data of the close-ups' tests."""

import pytest
import yaml
from glasscan.filters.closeup.closeup_data import discs_file, pleats_file
from glasscan.filters.filter_data import CanData, DiscStackData, ElementData
from glasscan.paths import asset


def element(channel_mm=0.8, depth_mm=20.0, medium_mm=0.5, permeability_m2=1e-11, pleats=50):
    """A pleated element whose channels have a given width and depth."""
    radii = 2 * pleats * (channel_mm + medium_mm) / 3.141592653589793
    shipped = CanData.model_validate(yaml.safe_load(asset("filters", "can-full-flow.yaml").read_text()))
    sizes = shipped.element.model_dump() | {
        "outer_radius_mm": (radii + depth_mm) / 2,
        "inner_radius_mm": (radii - depth_mm) / 2,
        "medium_mm": medium_mm,
        "permeability_m2": permeability_m2,
        "pleats": pleats,
    }
    return ElementData.model_validate(sizes)


@pytest.fixture(scope="session")
def can_element():
    """The element of the shipped can."""
    return CanData.model_validate(yaml.safe_load(asset("filters", "can-full-flow.yaml").read_text())).element


@pytest.fixture(scope="session")
def stack_data():
    """The shipped stacked-disc filter."""
    return DiscStackData.model_validate(yaml.safe_load(asset("filters", "disc-stack.yaml").read_text()))


@pytest.fixture(scope="session")
def pleats_extra():
    """Shipped data of deposit and paper."""
    return pleats_file()


@pytest.fixture(scope="session")
def discs_extra():
    """Shipped data of deposit, separator and blade."""
    return discs_file()
