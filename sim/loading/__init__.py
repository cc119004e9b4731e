"""Read YAML files into frozen records; a bad one gives lines `file:line:col: key: expected ...`."""

from __future__ import annotations

from sim.loading.problems import BadInput, Mark, Problem, nearest, shown
from sim.loading.records import Check, load, load_text

__all__ = ["BadInput", "Check", "Mark", "Problem", "load", "load_text", "nearest", "shown"]
