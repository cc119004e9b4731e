"""SI values as a class reads them: three unit systems, every pressure named gauge or differential."""

from __future__ import annotations

from dataclasses import dataclass

# Exact by definition: psi from lbf (4.4482216152605 N) and inch (0.0254 m); US gallon 231 in3.
PSI_PA = 4.4482216152605 / 0.0254**2
US_GAL_M3 = 231 * 0.0254**3
LITRE_M3 = 1e-3
MINUTE_S = 60.0


@dataclass(frozen=True)
class Unit:
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


@dataclass(frozen=True)
class UnitSystem:
    """The units of one system; temperatures start from degC."""

    name: str
    pressure: Unit
    temperature: Unit
    flow: Unit
    volume: Unit


CELSIUS = Unit("°C", 1.0, decimals=1)
FAHRENHEIT = Unit("°F", 1 / 1.8, 32.0, 0)
L_MIN = Unit("L/min", LITRE_M3 / MINUTE_S, decimals=1)
GAL_MIN = Unit("US gal/min", US_GAL_M3 / MINUTE_S, decimals=2)
LITRE = Unit("L", LITRE_M3, decimals=1)
GALLON = Unit("US gal", US_GAL_M3, decimals=2)
SYSTEMS = (
    UnitSystem("kPa, °C, L/min", Unit("kPa", 1e3), CELSIUS, L_MIN, LITRE),
    UnitSystem("psi, °F, US gal/min", Unit("psi", PSI_PA, decimals=1), FAHRENHEIT, GAL_MIN, GALLON),
    UnitSystem("bar, °C, L/min", Unit("bar", 1e5, decimals=2), CELSIUS, L_MIN, LITRE),
)
MILLIMETRE = Unit("mm", 1e-3, decimals=2)
NEWTON = Unit("N", 1.0, decimals=1)

EVENT_WORDS = {
    "bypass-cracks": "Bypass valve cracks open",
    "bypass-full": "Bypass valve fully open",
    "bypass-seats": "Bypass valve seats",
    "gallery-full": "Oil gallery full",
    "pressure-green": "Pressure in the green",
    "indicator-pops": "Clogging indicator pops",
}


def event_words(word: str) -> str:
    """An event in plain words; an unknown one is shown as it is written."""
    return EVENT_WORDS.get(word, word.replace("-", " ").capitalize())


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
