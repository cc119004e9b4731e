"""The one way from a file to a frozen record."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel, ValidationError

from glasscan.content.explain import explain
from glasscan.content.overrides import lay_over
from glasscan.content.problems import BadInput, Problem, in_order
from glasscan.content.problems import Path as KeyPath
from glasscan.content.text_reader import checked, read_text
from glasscan.content.yaml_tree import Tree, read_tree, top_mapping

Model = TypeVar("Model", bound=BaseModel)
Finding = tuple[KeyPath, str, str | None]
"""Path of keys, what was expected, and the nearest valid word."""

Check = Callable[[Model], Iterable[Finding]]
"""A check over the whole record, for what no single field can know."""


def load(
    path: Path | str,
    model: type[Model],
    *,
    overrides: Sequence[str] = (),
    checks: Sequence[Check[Model]] = (),
) -> Model:
    """Read, check and freeze one file.

    Args:
        path: the file; messages name it as given.
        model: the pydantic model it must fit.
        overrides: `dotted.key=value` texts laid over the file first.
        checks: further checks over the whole record.

    Raises:
        BadInput: with one line for each problem.
    """
    return _record(read_tree(read_text(Path(path), str(path)), str(path)), model, overrides, checks)


def load_text(
    text: str,
    name: str,
    model: type[Model],
    *,
    overrides: Sequence[str] = (),
    checks: Sequence[Check[Model]] = (),
) -> Model:
    """The same for text that is in memory already; `name` stands for the file."""
    return _record(read_tree(checked(text, name), name), model, overrides, checks)


def _record(
    tree: Tree, model: type[Model], overrides: Sequence[str], checks: Sequence[Check[Model]]
) -> Model:
    top_mapping(tree)
    lay_over(tree, overrides)
    try:
        # strict, as JSON: lists may become tuples, but no text a number and no number a truth value
        record = model.model_validate_json(json.dumps(tree.data, allow_nan=False), strict=True)
    except ValidationError as error:
        raise BadInput(explain(tree, model, error.errors(include_url=False))) from None
    found = [f for check in checks for f in check(record)]
    if found:
        raise BadInput(in_order(Problem(tree.mark(path), path, text, meant) for path, text, meant in found))
    return record
