"""Debris as rigid bodies in the section of a filter."""

from __future__ import annotations

from sim.plant.bodies.debris import Debris
from sim.plant.bodies.scene import Scene, Wall, scene_of

__all__ = ["Debris", "Scene", "Wall", "scene_of"]
