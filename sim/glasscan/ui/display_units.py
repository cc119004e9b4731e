"""SI values as a class reads them: three unit systems of `glasscan.units`, temperatures from degC."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from glasscan.units import UNITS, from_si, to_si

KELVIN_AT_0_C = to_si(0.0, "degC")


@dataclass(frozen=True)
class DisplayUnit:
    """Shown value = SI / `factor` + `offset`, with `decimals`."""

    sign: str
    factor: float
    offset: float = 0.0
    decimals: int = 0

    def shown(self, si: float) -> float:
        """Value in this unit."""
        return si / self.factor + self.offset

    def si(self, shown: float) -> float:
        """SI value (degC for temperatures) of a shown one."""
        return (shown - self.offset) * self.factor

    def text(self, si: float) -> str:
        """Value alone, with a true minus sign and no minus zero."""
        value = f"{self.shown(si):,.{self.decimals}f}".replace(",", "\u2009")
        if float(value.replace("\u2009", "")) == 0:
            value = value.removeprefix("-")
        return value.replace("-", "−")

    def tick_texts(self, values: Sequence[float]) -> list[str]:
        """Texts of SI values at the ticks of a scale; up to 4 decimals more tell unequal ones apart.

        A scale from 8.4 to 8.6 kPa must not read "8, 9, 9".
        """
        unequal = len({float(v) for v in values})
        for more in range(5):
            texts = [replace(self, decimals=self.decimals + more).text(v) for v in values]
            if len(set(texts)) == unequal:
                return texts
        return [self.text(v) for v in values]


@dataclass(frozen=True)
class UnitSystem:
    """The units of one system; temperatures start from degC."""

    name: str
    pressure: DisplayUnit
    temperature: DisplayUnit
    flow: DisplayUnit
    volume: DisplayUnit


def _unit(sign: str, name: str, decimals: int) -> DisplayUnit:
    """A unit of `glasscan.units` as it is shown."""
    return DisplayUnit(sign, UNITS[name].scale, 0.0, decimals)


CELSIUS = DisplayUnit("°C", 1.0, decimals=1)
FAHRENHEIT = DisplayUnit("°F", UNITS["degF"].scale, from_si(KELVIN_AT_0_C, "degF"), 0)
L_MIN, GAL_MIN = _unit("L/min", "L/min", 1), _unit("US gal/min", "gal/min", 1)
LITRE, GALLON = _unit("L", "L", 1), _unit("US gal", "gal", 2)
KPA, PSI, BAR = _unit("kPa", "kPa", 0), _unit("psi", "psi", 1), _unit("bar", "bar", 2)
SYSTEMS = (
    UnitSystem("kPa, °C, L/min", KPA, CELSIUS, L_MIN, LITRE),
    UnitSystem("psi, °F, US gal/min", PSI, FAHRENHEIT, GAL_MIN, GALLON),
    UnitSystem("bar, °C, L/min", BAR, CELSIUS, L_MIN, LITRE),
)
MILLIMETRE, NEWTON = _unit("mm", "mm", 2), _unit("N", "N", 1)


def viscosity(nu_m2_s: float) -> str:
    """A kinematic viscosity in words, with three figures or more and never as a power of ten."""
    value = nu_m2_s * 1e6
    return (f"{value:,.0f}".replace(",", "\u2009") if value >= 100 else f"{value:.3g}") + " mm²/s"


def clock(t_s: float) -> str:
    """Model time as h:mm:ss.t, or mm:ss.t below an hour."""
    tenths = round(max(t_s, 0.0) * 10)
    minutes, rest = divmod(tenths, 600)
    hours, minutes = divmod(minutes, 60)
    tail = f"{minutes:02d}:{rest // 10:02d}.{rest % 10}"
    return f"{hours}:{tail}" if hours else tail


def pace(speed: float) -> str:
    """A time lapse in words: "× 10" or "1/10 speed"."""
    return f"1/{round(1 / speed)} speed" if speed < 1 else f"× {speed:,.0f}".replace(",", "\u2009")
