"""What an instructor or the timeline may move while the rig runs, and the checks on it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from pydantic import ValidationError

from glasscan.rig.plant_data import PlantData

if TYPE_CHECKING:
    from glasscan.laws.fluid import Fluid

PATHS = ("rpm", "air_c")
LIMITS = {"rpm": (0.0, 10_000.0), "air_c": (-60.0, 150.0), "lodged_mm": (0.0, 50.0)}
_FIXED = {
    "sump.volume_l",
    "gallery.volume_l",
    "dirt.start_mg",
    "dirt.start",
}  # changing these would break the books


@dataclass(frozen=True, slots=True)
class Track:
    """A number on a straight path: `start` until `from_s`, `end` from `to_s` on."""

    start: float
    end: float
    from_s: float
    to_s: float

    @classmethod
    def still(cls, value: float) -> Track:
        """A number that does not move."""
        return cls(value, value, 0.0, 0.0)

    def at(self, t_s: float) -> float:
        """Value at a moment."""
        if t_s >= self.to_s:
            return self.end
        if t_s <= self.from_s:
            return self.start
        return self.start + (self.end - self.start) * (t_s - self.from_s) / (self.to_s - self.from_s)

    def moved(self, t_s: float, to: float, over_s: float) -> Track:
        """The path that leaves this one at `t_s`."""
        return Track(to if over_s <= 0.0 else self.at(t_s), to, t_s, t_s + max(over_s, 0.0))


@dataclass(frozen=True)
class Controls:
    """Present settings of the rig.

    Attributes:
        rpm, air_c: paths of the shaft speed and of the ambient air.
        fluid: the oil.
        before: True where the regulator sits before the filter.
        plant: numbers of the rig (faults change these).
        lodged_m: least lift that debris on the seat of the bypass valve allows, m (from its contacts).
    """

    rpm: Track
    air_c: Track
    fluid: Fluid
    before: bool
    plant: PlantData
    lodged_m: float = 0.0

    def changed(self, key: str, value: object, t_s: float, over_s: float = 0.0) -> Controls:
        """The settings after one control has moved.

        Args:
            key: "rpm", "air_c", "fluid", "regulator", "lodged_mm", or a number of the plant such as
                "pump.volumetric_efficiency".
            value: number, `Fluid`, "before"/"after".
            t_s: now, s.
            over_s: duration of the move, s ("rpm" and "air_c" only).

        Raises:
            ValueError: unknown key or a value out of range, in one line.
        """
        if key in PATHS:
            number = _checked(key, value)
            return replace(self, **{key: getattr(self, key).moved(t_s, number, over_s)})
        if key == "lodged_mm":
            return replace(self, lodged_m=_checked(key, value) * 1e-3)
        if key == "fluid":
            if not hasattr(value, "mu_pa_s"):
                raise ValueError("fluid: expected a Fluid")
            return replace(self, fluid=value)  # type: ignore[arg-type]
        if key == "regulator":
            if value not in ("before", "after"):
                raise ValueError(f"regulator: expected 'before' or 'after', got {value!r}")
            return replace(self, before=value == "before")
        return replace(self, plant=with_number(self.plant, key.removeprefix("plant."), value))


def _checked(key: str, value: object) -> float:
    low, high = LIMITS[key]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(f"{key}: expected a number, got {value!r}")
    if not low <= value <= high:
        raise ValueError(f"{key}: expected {low:g} to {high:g}, got {value:g}")
    return float(value)


def with_number(plant: PlantData, key: str, value: object) -> PlantData:
    """The plant with one number changed, checked as when loaded."""
    block, _, name = key.partition(".")
    data = plant.model_dump()
    if key in _FIXED or not isinstance(data.get(block), dict) or name not in data[block]:
        raise ValueError(f"{key}: not a control of this rig")
    data[block][name] = value
    try:
        return PlantData.model_validate(data)
    except ValidationError as error:
        raise ValueError(f"{key}: {error.errors()[0]['msg']}") from None
