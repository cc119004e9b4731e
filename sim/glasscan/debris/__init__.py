"""Debris as rigid bodies in the section of a filter."""

from __future__ import annotations

from glasscan.debris.debris import Debris
from glasscan.debris.scene import Scene, Wall, scene_of

__all__ = ["Debris", "Scene", "Wall", "scene_of"]
