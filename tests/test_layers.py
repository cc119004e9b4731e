"""Imports run one way: window -> ui and learning, workshop -> rig and neighbours -> filters -> flow, laws."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

TOP = Path(__file__).parents[1]

COMMON = {"units", "paths", "content", "files", "signals", "number_style"}
RIG = {"rig", "contaminant", "debris", "faults", "filters", "flow", "laws"}
"""The running rig and what it is made of."""
MAY_IMPORT = {
    "units": set(),
    "paths": set(),
    "content": {"units", "paths", "files"},
    "files": set(),
    "number_style": {"units", "paths", "content"},
    "signals": {"rig", "units"},  # the record of a moment, which it reads
    "laws": set(),
    "flow": {"laws"},
    "filters": {"flow", "laws"} | COMMON,
    "contaminant": {"rig", "filters", "flow", "laws"} | COMMON,
    "debris": {"rig", "filters", "flow", "laws"} | COMMON,
    "faults": RIG | COMMON,
    "rig": RIG | COMMON,
    "learning": RIG | COMMON,
    "workshop": RIG | COMMON,
    "formulas": RIG | COMMON,
    "reports": {"learning", "workshop"} | RIG | COMMON,
    "ui": {"units", "paths", "content", "files"},
    "window": {"ui", "learning", "workshop"} | RIG | COMMON,
}
TOPMOST = {"cli", "content_registry", "__main__", "__init__"}
"""May import every room."""

OUTSIDE = {
    "numpy",
    "scipy",
    "pygame",
    "pymunk",
    "yaml",
    "pydantic",
    "platformdirs",
    "cryptography",
    "PIL",
    "fsrs",
} | {
    "imageio_ffmpeg"  # optional: clips as MP4
}
"""Libraries the project depends on."""

LAWS_OUTSIDE = {"numpy", "scipy"}
WINDOW_LIBRARY = "pygame"


def imports(text: str, room: str) -> Iterator[str]:
    """Dotted names a module imports, relative ones made absolute for a module directly in a room."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = ".".join(["glasscan", room][: 3 - node.level]) + "." if node.level else ""
            module = f"{base}{node.module or ''}".rstrip(".")
            yield from (f"{module}.{alias.name}" if module == "glasscan" else module for alias in node.names)


def wrong(text: str, room: str) -> list[str]:
    """Imports of a module that its room may not have."""
    return [name for name in imports(text, room) if not allowed(name, room)]


def allowed(name: str, room: str) -> bool:
    """Whether a room may import a name."""
    first, *rest = name.split(".")
    if first != "glasscan":
        return first in sys.stdlib_module_names or first in outside(room)
    target = rest[0] if rest else "__init__"
    return room in TOPMOST or target in {room, "__version__"} or target in MAY_IMPORT[room]


def outside(room: str) -> set[str]:
    """Libraries a room may import."""
    if room in {"laws", "flow"}:
        return LAWS_OUTSIDE
    if room in TOPMOST:
        return OUTSIDE | {"tests"}  # `glasscan bench` runs tests/bench of a checkout
    return OUTSIDE if room in {"window", "ui", "reports"} else OUTSIDE - {WINDOW_LIBRARY}


def modules() -> Iterator[tuple[str, Path]]:
    """Room and file of every module of the package."""
    for path in sorted((TOP / "sim" / "glasscan").rglob("*.py")):
        parts = path.relative_to(TOP / "sim" / "glasscan").with_suffix("").parts
        yield parts[0], path


def test_imports_run_one_way() -> None:
    """No module imports a room above its own, nor a library its room may not have."""
    found = {
        str(p.relative_to(TOP)): bad for room, p in modules() if (bad := wrong(p.read_text("utf-8"), room))
    }
    assert found == {}


def test_every_room_is_named() -> None:
    """Every part of the package stands in the table above."""
    assert {room for room, _ in modules()} <= set(MAY_IMPORT) | TOPMOST


def test_wrong_imports_are_seen() -> None:
    """The check itself sees imports upwards, relative ones, late ones and foreign libraries."""
    assert wrong("import glasscan.rig.rig", "laws") == ["glasscan.rig.rig"]
    assert wrong("from glasscan import learning", "rig") == ["glasscan.learning"]
    assert wrong("from ..window import app", "learning") == ["glasscan.window"]
    assert wrong("def f():\n    from glasscan.learning import scenario_schema", "filters") == [
        "glasscan.learning"
    ]
    assert wrong("import pydantic", "laws") == ["pydantic"]
    assert wrong("import pandas", "reports") == ["pandas"]
    assert wrong("import pygame", "rig") == ["pygame"]
    assert wrong("from tests.bench import table", "learning") == ["tests.bench"]
    assert wrong("from .network import FilterNetwork\nimport numpy as np", "filters") == []


def test_laws_stand_on_numpy_and_scipy_alone() -> None:
    """No module of laws or flow imports anything of the project outside its own room."""
    names = {
        n for room, p in modules() if room in {"laws", "flow"} for n in imports(p.read_text("utf-8"), room)
    }
    assert names
    assert {n for n in names if n.split(".")[0] not in sys.stdlib_module_names} <= {
        n for n in names if n.startswith(("numpy", "scipy", "glasscan.laws", "glasscan.flow"))
    }
