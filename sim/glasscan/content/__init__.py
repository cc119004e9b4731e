"""Read YAML files into frozen records; a bad one gives lines `file:line:col: key: expected ...`.

The readers are imported when first asked for: a command that reads no file starts without their libraries.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from glasscan.content.problems import BadInput, Problem, SourceMark, nearest, shown

if TYPE_CHECKING:
    from glasscan.content.record_loading import Check, load, load_text

__all__ = ["BadInput", "Check", "Problem", "SourceMark", "load", "load_text", "nearest", "shown"]


def __getattr__(name: str) -> Any:
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from glasscan.content import record_loading

    return getattr(record_loading, name)
