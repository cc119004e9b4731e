"""Colours as data: themes, materials of cut parts, the pressure ramp, and WCAG contrast."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import yaml
from numpy.typing import NDArray

from glasscan.paths import asset

Colour = tuple[int, int, int]
THEMES = ("dark", "light")


@dataclass(frozen=True)
class Material:
    """How a cut surface is drawn: fill, hatch line, hatch angle in degrees, hatch pitch in dp."""

    fill: Colour
    hatch: Colour
    angle: float
    pitch: float


@dataclass(frozen=True)
class Streak:
    """How one kind of moving oil is drawn: core colour, contrary rim, pattern (dot, solid, dashed)."""

    core: Colour
    rim: Colour
    pattern: str


@dataclass(frozen=True)
class Theme:
    """One theme: `colours` by name, cut materials, streak styles and the pressure ramp ((256, 3) uint8)."""

    name: str
    colours: dict[str, Colour]
    materials: dict[str, Material]
    streaks: dict[str, Streak]
    ramp: NDArray[np.uint8]

    def __getitem__(self, key: str) -> Colour:
        return self.colours[key]

    def material(self, word: str) -> Material:
        """Material by its word; an unknown word is drawn as steel rather than failing a lesson."""
        return self.materials.get(word, self.materials["steel"])


def rgb(text: str) -> Colour:
    """Colour from "#rrggbb"."""
    value = int(text.removeprefix("#"), 16)
    return value >> 16, value >> 8 & 255, value & 255


def luminance(colour: Colour) -> float:
    """Relative luminance of an sRGB colour, 0..1 (WCAG 2.2, definition of relative luminance)."""
    r, g, b = (_linear(c / 255) for c in colour)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def _linear(c: float) -> float:
    return c / 12.92 if c <= 0.04045 else float(((c + 0.055) / 1.055) ** 2.4)


def contrast(one: Colour, other: Colour) -> float:
    """Contrast ratio of two colours, 1..21 (WCAG 2.2, definition of contrast ratio)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@cache
def raw() -> dict[str, Any]:
    """The theme file as plain data."""
    with asset("theme.yaml").open(encoding="utf-8") as stream:
        data: dict[str, Any] = yaml.safe_load(stream)
    return data


@cache
def load_theme(name: str) -> Theme:
    """Theme by name, "dark" or "light".

    Raises:
        KeyError: no such theme.
    """
    data = raw()
    materials = {
        word: Material(rgb(m["fill"]), rgb(m["hatch"]), float(m["angle"]), float(m["pitch"]))
        for word, m in data["materials"].items()
    }
    streaks = {k: Streak(rgb(s["core"]), rgb(s["rim"]), s["pattern"]) for k, s in data["streaks"].items()}
    colours = {key: rgb(value) for key, value in data["themes"][name].items()}
    return Theme(name, colours, materials, streaks, uniform_ramp([rgb(c) for c in data["pressure_ramp"]]))


# OKLab, Björn Ottosson 2020 ("A perceptual color space for image processing"). Coefficients from memory.
_TO_LMS = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
_TO_LAB = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)


def oklab(srgb: NDArray[np.float64]) -> NDArray[np.float64]:
    """OKLab of sRGB values 0..1, shape (n, 3) to (n, 3)."""
    linear = np.where(srgb <= 0.04045, srgb / 12.92, ((srgb + 0.055) / 1.055) ** 2.4)
    return np.asarray(np.cbrt(linear @ _TO_LMS.T) @ _TO_LAB.T)


def from_oklab(lab: NDArray[np.float64]) -> NDArray[np.float64]:
    """sRGB values, clipped to 0..1, of OKLab rows (n, 3)."""
    linear = (lab @ np.linalg.inv(_TO_LAB).T) ** 3 @ np.linalg.inv(_TO_LMS).T
    linear = np.clip(linear, 0, 1)
    return np.asarray(np.where(linear <= 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055))


def uniform_ramp(anchors: list[Colour], steps: int = 256) -> NDArray[np.uint8]:
    """A ramp through anchor colours with equal OKLab steps, (steps, 3) uint8.

    The path between anchors is a Catmull-Rom curve, walked by arc length, so equal
    pressure steps look equally different anywhere on the scale.
    """
    knots = oklab(np.array(anchors, dtype=float) / 255)
    path = _catmull_rom(knots, 200)
    length = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))])
    at = np.linspace(0, length[-1], steps)
    lab = np.stack([np.interp(at, length, path[:, k]) for k in range(3)], axis=1)
    return np.round(from_oklab(lab) * 255).astype(np.uint8)


def _catmull_rom(knots: NDArray[np.float64], per_span: int) -> NDArray[np.float64]:
    """Points on the Catmull-Rom curve through knots, end tangents one-sided."""
    padded = np.vstack([2 * knots[0] - knots[1], knots, 2 * knots[-1] - knots[-2]])
    t = np.linspace(0, 1, per_span, endpoint=False)[:, None]
    spans = []
    for a, b, c, d in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        spans.append(
            0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * b - a - 3 * c + d) * t**3)
        )
    return np.vstack([*spans, knots[-1:]])
