"""No module of the package imports itself by a detour, early, late or by a name in a string."""

from __future__ import annotations

import ast
from pathlib import Path

from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

PACKAGE = Path(__file__).parents[1] / "sim" / "glasscan"


def modules() -> dict[str, str]:
    """Text of every module by its dotted name."""
    return {
        ".".join(["glasscan", *path.relative_to(PACKAGE).with_suffix("").parts]).removesuffix(
            ".__init__"
        ): path.read_text(encoding="utf-8")
        for path in sorted(PACKAGE.rglob("*.py"))
        if "_data" not in path.parts
    }


def imported(text: str, known: set[str]) -> set[str]:
    """Modules that a text imports, wherever in it, and those named in strings ("module:function")."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            full = {f"{node.module}.{alias.name}" for alias in node.names}
            found |= {name if name in known else node.module for name in full}
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            found.add(node.value.split(":")[0])
    return found & known


def circles(texts: dict[str, str]) -> list[list[str]]:
    """Groups of modules that import one another, each sorted by name."""
    names = sorted(texts)
    place = {name: i for i, name in enumerate(names)}
    edges = [(place[m], place[t]) for m in names for t in imported(texts[m], set(names)) - {m}]
    rows, columns = zip(*edges, strict=True) if edges else ((), ())
    graph = csr_array(([1] * len(edges), (rows, columns)), shape=(len(names), len(names)))
    _, group = connected_components(graph, directed=True, connection="strong")
    found: dict[int, list[str]] = {}
    for name, number in zip(names, group, strict=True):
        found.setdefault(int(number), []).append(name)
    return [members for members in found.values() if len(members) > 1]


def test_no_circles() -> None:
    """The imports of the package make no circle."""
    assert circles(modules()) == []


def test_a_circle_is_seen() -> None:
    """Early, late and by string: each makes a circle that the check sees."""
    for back in ("import glasscan.a", "def f():\n    from glasscan.a import x", 'WAY = "glasscan.a:open"'):
        assert circles({"glasscan.a": "from glasscan.b import y", "glasscan.b": back}) == [
            ["glasscan.a", "glasscan.b"]
        ]
    assert circles({"glasscan.a": "from glasscan.b import y", "glasscan.b": "import math"}) == []
