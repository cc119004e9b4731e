"""Read YAML files into frozen records; a bad one gives lines `file:line:col: key: expected ...`."""

from __future__ import annotations

from glasscan.content.problems import BadInput, Mark, Problem, nearest, shown
from glasscan.content.record_loading import Check, load, load_text

__all__ = ["BadInput", "Check", "Mark", "Problem", "load", "load_text", "nearest", "shown"]
