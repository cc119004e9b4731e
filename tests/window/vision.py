"""How colours are seen: contrast on pixels, and simulated colour-vision deficiency."""

from __future__ import annotations

import numpy as np

# Machado, Oliveira and Fernandes 2009, "A physiologically-based model for simulation of color vision
# deficiency", severity 1.0, for linear RGB. From memory; each row sums to 1, so greys stay grey (tested).
MACHADO = {
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritan": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}
KINDS = ("usual", *MACHADO)


def linear(srgb):
    """Linear light of sRGB 0..255, any shape (..., 3)."""
    c = np.asarray(srgb, float) / 255
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def seen(srgb, kind):
    """sRGB 0..255 as somebody with a kind of colour vision sees it, (..., 3)."""
    if kind == "usual":
        return np.asarray(srgb, float)
    light = np.clip(linear(srgb) @ np.array(MACHADO[kind]).T, 0, 1)
    return 255 * np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)


def luminance(srgb):
    """Relative luminance of sRGB 0..255 (WCAG 2.2), (...)."""
    return linear(srgb) @ np.array([0.2126, 0.7152, 0.0722])


def ratio(one, other):
    """Contrast ratio of two colours, or two arrays of them (WCAG 2.2)."""
    a, b = luminance(one), luminance(other)
    return (np.maximum(a, b) + 0.05) / (np.minimum(a, b) + 0.05)
