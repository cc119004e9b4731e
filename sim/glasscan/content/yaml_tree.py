"""YAML text as plain data beside the marks of every key and value; no tags, anchors or aliases."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, NoReturn

import yaml

from glasscan.content.problems import BadInput, Path, Problem, SourceMark, shown
from glasscan.content.scalars import Surprise, plain
from glasscan.content.text_reader import unseen

MAX_DEPTH = 20
"""Levels of nesting; the deepest shipped file has six (PRACTICE)."""

MAX_NODES = 20_000
"""Keys and values in a file (PRACTICE)."""


@dataclass
class Tree:
    """Plain data and where each piece of it stands in the file.

    Attributes:
        data: dicts, lists and scalars.
        keys: mark of each key, by path.
        values: mark of each value, by path.
    """

    data: Any
    keys: dict[Path, SourceMark] = field(default_factory=dict)
    values: dict[Path, SourceMark] = field(default_factory=dict)

    def mark(self, path: Path, key: bool = False) -> SourceMark:
        """Mark of the value (or key) at a path, or of the nearest thing round it."""
        if key and path in self.keys:
            return self.keys[path]
        while path and path not in self.values:
            path = path[:-1]
        return self.values[path]


class _Composer(yaml.SafeLoader):
    """Builds the node graph with bounds; raises at the first thing that is not allowed."""

    def __init__(self, text: str, name: str):
        super().__init__(text)
        self.shown_name = name
        self.nodes = 0
        self.depth = 0

    def compose_node(self, parent: Any, index: Any) -> Any:
        event = self.peek_event()
        self._allow(event)
        self.nodes += 1
        self.depth += 1
        if self.depth > MAX_DEPTH:
            self.refuse(event, f"nested deeper than {MAX_DEPTH} levels")
        if self.nodes > MAX_NODES:
            self.refuse(event, f"more than {MAX_NODES} keys and values")
        node = super().compose_node(parent, index)
        self.depth -= 1
        return node

    def _allow(self, event: Any) -> None:
        if isinstance(event, yaml.AliasEvent) or getattr(event, "anchor", None):
            self.refuse(event, "anchors and aliases (&name, *name) are not allowed: write the value out")
        if getattr(event, "tag", None):
            self.refuse(event, "tags (!name) are not allowed: write the plain value")

    def refuse(self, event: Any, text: str) -> NoReturn:
        raise BadInput([Problem(_mark(self.shown_name, event.start_mark), (), text)])


def read_tree(text: str, name: str) -> Tree:
    """Parse YAML text.

    Args:
        text: the whole file.
        name: how the messages call it.

    Raises:
        BadInput: not YAML, or a part of YAML that is not used here.
    """
    composer = _Composer(text, name)
    try:
        node = composer.get_single_node()
    except yaml.MarkedYAMLError as error:
        raise BadInput([_syntax(error, name)]) from None
    except yaml.YAMLError as error:
        raise BadInput([Problem(SourceMark(name), (), f"not YAML: {error}")]) from None
    finally:
        composer.dispose()
    if node is None:
        raise BadInput([Problem(SourceMark(name, 1, 1), (), "expected keys and values, the file is empty")])
    return _Builder(name).build(node)


class _Builder:
    """Turns nodes into data, collecting every problem."""

    def __init__(self, name: str):
        self.name = name
        self.tree = Tree(None)
        self.problems: list[Problem] = []

    def build(self, node: Any) -> Tree:
        self.tree.data = self.value(node, ())
        if self.problems:
            raise BadInput(self.problems)
        return self.tree

    def value(self, node: Any, path: Path) -> Any:
        self.tree.values[path] = _mark(self.name, node.start_mark)
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, path)
        if isinstance(node, yaml.SequenceNode):
            return [self.value(child, (*path, i)) for i, child in enumerate(node.value)]
        return self.scalar(node, path)

    def mapping(self, node: Any, path: Path) -> dict[str, Any]:
        found: dict[str, Any] = {}
        for key_node, value_node in node.value:
            mark = _mark(self.name, key_node.start_mark)
            if not isinstance(key_node, yaml.ScalarNode):
                self.problems.append(Problem(mark, path, "expected a plain word as key"))
                continue
            key = key_node.value
            if unseen(key):
                self.problems.append(Problem(mark, path, "a key with characters that cannot be seen"))
                continue
            if key in found:
                first = self.tree.keys[(*path, key)].line
                text = f"duplicate key, it stands in line {first} already"
                self.problems.append(Problem(mark, (*path, key), text))
                continue
            self.tree.keys[(*path, key)] = mark
            found[key] = self.value(value_node, (*path, key))
        return found

    def scalar(self, node: Any, path: Path) -> Any:
        if node.style is not None:
            if unseen(node.value):
                text = "text with characters that cannot be seen: delete the escapes"
                self.problems.append(Problem(self.tree.values[path], path, text))
            return node.value
        try:
            return plain(node.value)
        except Surprise as surprise:
            self.problems.append(Problem(self.tree.values[path], path, str(surprise)))
            return None


def top_mapping(tree: Tree) -> None:
    """Refuse a file whose top level is not a mapping of keys.

    Raises:
        BadInput: it is a list or a single value.
    """
    if not isinstance(tree.data, dict):
        text = f"expected keys with values (key: value) at the top, found {shown(tree.data)}"
        raise BadInput([Problem(tree.mark(()), (), text)])


def _mark(name: str, mark: Any) -> SourceMark:
    return SourceMark(name, mark.line + 1, mark.column + 1)


_PLAINER = (
    ("'\\t' that cannot start", "a tab stands here: indent with spaces"),
    ("mapping values are not allowed", "a second ':' on this line: quote the text, or check the indentation"),
    ("expected <block end>", "the indentation does not match the lines above"),
    ("could not find expected ':'", "expected 'key: value', the ':' is missing"),
    ("but found another document", "expected one document, '---' starts a second one"),
    ("unexpected end of stream", "a quote or bracket is opened and never closed"),
)


def _syntax(error: yaml.MarkedYAMLError, name: str) -> Problem:
    mark = error.problem_mark or error.context_mark
    told = f"{error.problem or ''} {error.context or ''}"
    text = next((plainer for part, plainer in _PLAINER if part in told), None)
    place = _mark(name, mark) if mark else SourceMark(name)
    return Problem(place, (), text or f"not valid YAML: {error.problem or error.context}")
