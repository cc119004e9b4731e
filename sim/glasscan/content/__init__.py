"""Read YAML files into frozen records; a bad one gives lines `file:line:col: key: expected ...`."""

from __future__ import annotations

from glasscan.content.problems import BadInput, Problem, SourceMark, nearest, shown
from glasscan.content.record_loading import Check, load, load_text

__all__ = ["BadInput", "Check", "Problem", "SourceMark", "load", "load_text", "nearest", "shown"]
