"""Questions that name the state of their own scenario: `{air_c}` becomes the value of this run."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import BaseModel

_HOLE = re.compile(r"\{([a-z0-9_.]{1,60})\}")


def holes(text: str) -> list[str]:
    """Dotted keys a text asks for."""
    return _HOLE.findall(text)


def fill(text: str, scenario: BaseModel) -> str:
    """A text with every `{dotted.key}` replaced by the scenario's value; unknown ones stay as they are."""
    known = dict(values(scenario.model_dump()))
    return _HOLE.sub(lambda hole: known.get(hole[1], hole[0]), text)


def values(data: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, str]]:
    """Dotted keys and their values as text, for everything but lists."""
    for key, value in data.items():
        if isinstance(value, Mapping):
            yield from values(value, f"{before}{key}.")
        elif isinstance(value, float):
            yield f"{before}{key}", f"{value:g}".replace("-", "−")
        elif not isinstance(value, (list, tuple)):
            yield f"{before}{key}", "not set" if value is None else str(value)
