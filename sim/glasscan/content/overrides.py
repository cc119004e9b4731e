"""`--set dotted.key=value`: changes laid over a file before it is checked, marked as coming from `--set`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from glasscan.content.problems import BadInput, Path, Problem, SourceMark, dotted, shown
from glasscan.content.text_reader import checked
from glasscan.content.yaml_tree import Tree, read_tree

NAME = "--set"


def lay_over(tree: Tree, overrides: Sequence[str]) -> None:
    """Change a tree in place.

    Args:
        tree: of a file whose top is a mapping.
        overrides: `dotted.key=value` texts, values written as in the file.

    Raises:
        BadInput: one is not of that form, or its path does not exist.
    """
    for number, text in enumerate(overrides, 1):
        _lay(tree, text, number)


def _lay(tree: Tree, text: str, number: int) -> None:
    key, equals, value = checked(text, NAME).partition("=")
    mark = SourceMark(NAME, number, 1)
    if not equals or not key.strip():
        raise BadInput([Problem(mark, (), f"expected dotted.key=value, found {shown(text)}")])
    path = tuple(part.strip() for part in key.split("."))
    place = SourceMark(NAME, number, len(key) + 2)
    _put(tree, path, _value(value, place), mark, place)


def _value(text: str, place: SourceMark) -> Any:
    if not text.strip():
        return None
    try:
        return read_tree(text, NAME).data
    except BadInput as bad:
        reason = bad.lines[0].split(": ", 1)[-1]
        raise BadInput([Problem(place, (), reason)]) from None


def _put(tree: Tree, path: tuple[str, ...], value: Any, key_mark: SourceMark, value_mark: SourceMark) -> None:
    here: Any = tree.data
    done: Path = ()
    for i, part in enumerate(path):
        step: str | int = _index(here, part, (*done, part), key_mark) if isinstance(here, list) else part
        if not isinstance(here, (dict, list)):
            text = f"{dotted(done)} holds {shown(here)}, it has no keys inside"
            raise BadInput([Problem(key_mark, path, text)])
        done = (*done, step)
        if i == len(path) - 1:
            here[step] = value  # type: ignore[index]
            _mark(tree, done, value, key_mark, value_mark)
        else:
            here = _inside(tree, here, step, done, key_mark)


def _inside(tree: Tree, here: Any, step: str | int, done: Path, mark: SourceMark) -> Any:
    if isinstance(here, dict) and here.get(str(step)) is None:
        here[str(step)] = {}
        tree.keys[done] = tree.values[done] = mark
    return here[step]


def _index(items: list[Any], part: str, path: Path, mark: SourceMark) -> int:
    if part.isascii() and part.isdigit() and int(part[:9]) < len(items):
        return int(part)
    last = len(items) - 1
    expected = f"expected a place in the list from 0 to {last}" if items else "the list is empty"
    raise BadInput([Problem(mark, path, f"{expected}, found {shown(part)}")])


def _mark(tree: Tree, path: Path, value: Any, key_mark: SourceMark, value_mark: SourceMark) -> None:
    for marks in (tree.keys, tree.values):
        for old in [p for p in marks if p[: len(path)] == path]:
            del marks[old]
    tree.keys[path] = key_mark
    _mark_values(tree, path, value, value_mark)


def _mark_values(tree: Tree, path: Path, value: Any, mark: SourceMark) -> None:
    tree.values[path] = mark
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, child in inner:
        tree.keys[(*path, step)] = mark
        _mark_values(tree, (*path, step), child, mark)
