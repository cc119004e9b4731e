"""Every public method says what it does, but one that overrides a method which says it already."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "sim" / "glasscan"
Classes = dict[str, list[ast.ClassDef]]


def classes(texts: Iterator[str]) -> Classes:
    """All classes by name."""
    found: Classes = {}
    for text in texts:
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.ClassDef):
                found.setdefault(node.name, []).append(node)
    return found


def bases(of: ast.ClassDef, known: Classes, seen: frozenset[str] = frozenset()) -> Iterator[ast.ClassDef]:
    """Classes of the package that a class is made from, near and far."""
    for base in of.bases:
        base = base.value if isinstance(base, ast.Subscript) else base
        name = base.id if isinstance(base, ast.Name) else base.attr if isinstance(base, ast.Attribute) else ""
        if name and name not in seen:
            for one in known.get(name, []):
                yield one
                yield from bases(one, known, seen | {name})


def silent(known: Classes) -> list[str]:
    """Public methods without a docstring that override none with one."""
    found = []
    for name, group in known.items():
        for one in [] if name.startswith("_") else group:
            said = {m.name for b in bases(one, known) for m in b.body if _method(m) and ast.get_docstring(m)}
            found += [
                f"{one.name}.{m.name}"
                for m in one.body
                if _method(m)
                and not m.name.startswith("_")
                and m.name not in said
                and not ast.get_docstring(m)
            ]
    return found


def _method(node: ast.stmt) -> bool:
    return isinstance(node, ast.FunctionDef) and not any(
        isinstance(d, ast.Attribute) and d.attr in ("setter", "overload") for d in node.decorator_list
    )


def test_every_method_says_what_it_does() -> None:
    """All of the package."""
    texts = (p.read_text("utf-8") for p in PACKAGE.rglob("*.py") if "_data" not in p.parts)
    assert silent(classes(texts)) == []


def test_a_silent_method_is_seen() -> None:
    """One that overrides nothing is told; one that overrides is not."""
    base = "class A:\n    def f(self):\n        '''Say.'''\n"
    text = "class B(A):\n    def f(self):\n        return 1\n    def g(self):\n        return 2\n"
    assert silent(classes(iter([base, text]))) == ["B.g"]
