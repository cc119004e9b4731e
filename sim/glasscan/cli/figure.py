"""`glasscan figure NAME key=value ...`: work out one named law."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from typing import Any

from glasscan.cli.arguments import Verbs, add_verb
from glasscan.content import BadInput

_TOLD = {"name", "inputs", "unit", "method", "source", "value", "values"}
"""Keys of an answer that are told apart from its further named results."""


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "figure", run, "work out a named law; without a name: list them")
    parser.add_argument("name", metavar="NAME", nargs="?", help="name of the law")
    parser.add_argument("inputs", metavar="KEY=VALUE", nargs="*", help="its inputs")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(args: argparse.Namespace) -> int:
    """Print the figure, or the list of figures."""
    from glasscan.formulas import registry

    try:
        if args.name is None:
            _print_list(registry.names(), registry.describe, args.json)
        else:
            _print(registry.evaluate(args.name, pairs(args.inputs)), args.json)
    except registry.FigureError as error:
        raise BadInput([f"figure: {error}"]) from None
    return 0


def pairs(words: Sequence[str]) -> dict[str, str]:
    """`key=value` words as a mapping.

    Raises:
        BadInput: a word without `=`, or a key given twice.
    """
    found: dict[str, str] = {}
    for word in words:
        key, equals, value = word.partition("=")
        if not equals or not key:
            raise BadInput([f"figure: expected key=value, found '{word[:40]}'"])
        if key in found:
            raise BadInput([f"figure: {key}: expected once, given twice"])
        found[key] = value
    return found


def _print_list(names: Sequence[str], describe: Any, as_json: bool) -> None:
    if as_json:
        print(json.dumps({"figures": list(names)}))
    else:
        print("\n".join(describe(name) for name in names))


def _text(value: Any) -> str:
    """A result in words: six figures, lists with spaces, yes and no."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return ", ".join(f"{key}: {_text(item)}" for key, item in value.items())
    if isinstance(value, list):
        return " ".join(map(_text, value))
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def _print(result: dict[str, Any], as_json: bool) -> None:
    if as_json:
        print(json.dumps(result, allow_nan=False))
        return
    print(f"{result['name']} = {_text(result.get('values', result.get('value')))} {result['unit']}")
    for key, value in result.items():
        if key not in _TOLD:
            print(f"  {key} = {_text(value)}")
    print(f"{result['method']} — {result['source']}")
