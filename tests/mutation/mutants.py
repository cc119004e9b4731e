"""Small faults for a Python file: where each is, and the text of the file with it."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

SWAPS = {ast.Add: ("+", "-"), ast.Sub: ("-", "+"), ast.Mult: ("*", "/"), ast.Div: ("/", "*")}
TURNS = {ast.Lt: ("<", ">="), ast.Gt: (">", "<="), ast.LtE: ("<=", ">"), ast.GtE: (">=", "<")}
CALLS = {"min": "max", "max": "min", "sin": "cos", "cos": "sin", "minimum": "maximum", "maximum": "minimum"}
FACTOR = 1.3  # of a number: gross enough to matter, fine enough to slip past a test of signs


@dataclass(frozen=True)
class Mutant:
    """One fault.

    Attributes:
        path: file, from the top of the checkout.
        line: its line, from 1.
        start, end: place in the text, characters.
        old, new: what stands there, and what is put there.
    """

    path: Path
    line: int
    start: int
    end: int
    old: str
    new: str

    def text(self, source: str) -> str:
        """The file with the fault."""
        return source[: self.start] + self.new + source[self.end :]

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.old} -> {self.new}"


def mutants_of(path: Path, source: str) -> list[Mutant]:
    """All faults for one file, in order of place."""
    tree = ast.parse(source)
    lines = [0]
    for line in source.splitlines(keepends=True):
        lines.append(lines[-1] + len(line))
    finder = _Finder(path, source, lines)
    return sorted(finder.found(tree), key=lambda m: (m.start, m.new))


@dataclass(frozen=True)
class _Finder:
    path: Path
    source: str
    lines: list[int]

    def found(self, tree: ast.AST) -> Iterator[Mutant]:
        """Faults of every function body and constant of a module."""
        for node in self._live(tree):
            if isinstance(node, ast.BinOp):
                yield from self._operator(node)
            elif isinstance(node, ast.Compare) and len(node.ops) == 1:
                yield from self._between(node.left, node.comparators[0], TURNS.get(type(node.ops[0])))
            elif isinstance(node, ast.Call):
                yield from self._call(node)

    def _live(self, node: ast.AST) -> Iterator[ast.AST]:
        """Nodes that run: no annotations, no subscripts, no decorators, no texts."""
        if isinstance(node, ast.Subscript | ast.JoinedStr):
            return
        yield node
        for name, field in ast.iter_fields(node):
            if name in ("annotation", "returns", "decorator_list"):
                continue
            for child in field if isinstance(field, list) else [field]:
                if isinstance(child, ast.AST):
                    yield from self._live(child)

    def _operator(self, node: ast.BinOp) -> Iterator[Mutant]:
        yield from self._between(node.left, node.right, SWAPS.get(type(node.op)))
        for side in (node.left, node.right):
            if isinstance(side, ast.Constant) and type(side.value) in (int, float) and side.value:
                at, end = self._span(side)
                yield Mutant(self.path, side.lineno, at, end, self.source[at:end], f"{side.value * FACTOR!r}")

    def _between(self, left: ast.expr, right: ast.expr, swap: tuple[str, str] | None) -> Iterator[Mutant]:
        if swap is None:
            return
        start, end = self._span(left)[1], self._span(right)[0]
        at = self.source.find(swap[0], start, end)
        if at >= 0:
            line = self.source.count("\n", 0, at) + 1
            yield Mutant(self.path, line, at, at + len(swap[0]), swap[0], swap[1])

    def _call(self, node: ast.Call) -> Iterator[Mutant]:
        name = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
        if name in CALLS:
            end = self._span(node.func)[1]
            yield Mutant(self.path, node.func.lineno, end - len(name), end, name, CALLS[name])

    def _span(self, node: ast.expr) -> tuple[int, int]:
        """Characters at which a node begins and ends (offsets of ast count bytes)."""
        return self._at(node.lineno, node.col_offset), self._at(node.end_lineno, node.end_col_offset)

    def _at(self, line: int | None, column: int | None) -> int:
        assert line is not None
        assert column is not None
        begin = self.lines[line - 1]
        text = self.source[begin : self.lines[line]]
        return begin + len(text.encode()[:column].decode())
