"""One held-out check of a figure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Case:
    """What a figure is asked, and the answer found another way.

    Attributes:
        figure: its name.
        inputs: what it is given.
        expected: number, list or word.
        source: where the answer comes from.
        rel_tol: relative tolerance (0: equal).
        key: which result; None takes the main one.
    """

    figure: str
    inputs: Mapping[str, Any]
    expected: Any
    source: str
    rel_tol: float = 1e-6
    key: str | None = None

    @property
    def name(self) -> str:
        """The words a user would type."""
        return " ".join([self.figure, *(f"{key}={value}" for key, value in self.inputs.items())])[:90]
