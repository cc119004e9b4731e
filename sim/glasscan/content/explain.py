"""From the validator's findings to lines a person can act on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, get_origin

from pydantic import BaseModel

from glasscan.content.fields import Spot, choices, key_paths, spot
from glasscan.content.problems import Path, Problem, dotted, in_order, nearest, shown
from glasscan.content.unit_words import key_in_other_unit, unit_of_key, value_hint
from glasscan.content.yaml_tree import Tree

Finding = Mapping[str, Any]

_NAMES = ("ge", "gt", "le", "lt", "min_length", "max_length")
_WORDS = {float: "a number", int: "a whole number", str: "text", bool: "true or false"}


def explain(tree: Tree, model: type[BaseModel], findings: Iterable[Finding]) -> list[Problem]:
    """One problem for each finding; a missing key whose misspelling is reported already is left out."""
    found = list(findings)
    unknown = [_unknown(tree, model, f) for f in found if f["type"] == "extra_forbidden"]
    misspelt = {(*p.path[:-1], p.meant) for p in unknown}
    rest = [_other(tree, model, f) for f in found if f["type"] != "extra_forbidden"]
    told = [p for p in rest if p.path not in misspelt]
    return in_order([*unknown, *told])


def _unknown(tree: Tree, model: type[BaseModel], finding: Finding) -> Problem:
    here = spot(model, finding["loc"])
    key = str(here.path[-1])
    mark = tree.mark(here.path, key=True)
    known = list(here.owner.model_fields) if here.owner else []
    other = key_in_other_unit(key, known)
    if other:
        text = f"unknown key: expected the value in {other[2].sign}, not in {other[1].sign}"
        return Problem(mark, here.path, text, other[0])
    near = nearest(key, known)
    if near:
        return Problem(mark, here.path, "unknown key", near)
    elsewhere = [dotted(p) for p in key_paths(model) if len(p) > 1 and p[-1] == key]
    if elsewhere:
        return Problem(mark, here.path, f"unknown key here: it belongs at {elsewhere[0]}", elsewhere[0])
    return Problem(mark, here.path, f"unknown key: expected one of {', '.join(known) or 'none'}")


def _other(tree: Tree, model: type[BaseModel], finding: Finding) -> Problem:
    here = spot(model, finding["loc"])
    kind = finding["type"]
    if kind == "missing":
        return Problem(tree.mark(here.path), here.path, f"missing key: expected {expectation(here)}")
    if kind.startswith("union_tag"):
        return _tag(tree, here, finding)
    if kind in ("value_error", "assertion_error"):
        text = str(finding["msg"]).split(", ", 1)[-1]
        return Problem(tree.mark(here.path), here.path, text)
    return _value(tree, here, finding)


def _value(tree: Tree, here: Spot, finding: Finding) -> Problem:
    value = finding["input"]
    text = f"expected {expectation(here)}, found {shown(value)}{_size(value, finding)}"
    words = choices(here.kinds)
    meant = nearest(value, words) if isinstance(value, str) else None
    if isinstance(value, str) and not words and here.path:
        hint = value_hint(value, str(here.path[-1])) if _numeric(here) else None
        text += f": {hint}" if hint else ""
    return Problem(tree.mark(here.path), here.path, text, meant)


def _tag(tree: Tree, here: Spot, finding: Finding) -> Problem:
    word = str(finding["ctx"]["discriminator"]).strip("'")
    path: Path = (*here.path, word)
    known = [tag for kind in here.kinds for tag in choices((kind.model_fields[word].annotation,))]
    expected = f"expected one of {', '.join(known)}"
    value = finding["input"].get(word) if isinstance(finding["input"], dict) else None
    if finding["type"] == "union_tag_not_found":
        return Problem(tree.mark(here.path), path, f"missing key: {expected}")
    return Problem(tree.mark(path), path, f"{expected}, found {shown(value)}", nearest(str(value), known))


def expectation(here: Spot) -> str:
    """What belongs at a place, with its range and unit."""
    words = choices(here.kinds)
    named = [f"'{w}'" for w in words] or dict.fromkeys(map(_noun, here.kinds))
    what = " or ".join(named)
    unit = unit_of_key(str(here.path[-1])) if here.path and _numeric(here) else None
    sign = f" ({unit.sign})" if unit else ""
    return f"{what or 'something else'}{_range(here)}{sign}"


def _noun(kind: Any) -> str:
    if kind in _WORDS:
        return _WORDS[kind]
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return "a mapping of keys"
    return "a mapping of keys" if get_origin(kind) is dict else "a list"


def _numeric(here: Spot) -> bool:
    return float in here.kinds or int in here.kinds


def _range(here: Spot) -> str:
    bounds: dict[str, Any] = {}
    for item in here.info.metadata if here.info else ():
        bounds |= {n: v for n in _NAMES if (v := getattr(item, n, None)) is not None}
    size = " characters" if str in here.kinds else " items"
    lengths = _span(bounds.get("min_length"), bounds.get("max_length"), " of", size)
    values = _span(bounds.get("ge"), bounds.get("le"), " from", "")
    above = f" above {bounds['gt']:g}" if "gt" in bounds else ""
    below = f" below {bounds['lt']:g}" if "lt" in bounds else ""
    return lengths + above + values + below + _example(here)


def _span(low: float | None, high: float | None, word: str, unit: str) -> str:
    if low is not None and high is not None:
        return f"{word} {low:.12g} to {high:.12g}{unit}"
    ends = (("at least", low), ("at most", high))
    before = f"{word} " if unit else " "
    return "".join(f"{before}{end} {value:.12g}{unit}" for end, value in ends if value is not None)


def _example(here: Spot) -> str:
    examples = here.info.examples if here.info else None
    return f" such as '{examples[0]}'" if examples else ""


def _size(value: Any, finding: Finding) -> str:
    """How long the value is, where that is what is wrong with it."""
    if str(finding["type"]) in ("too_short", "too_long"):
        return f" of {len(value)}"
    return f" of {len(value)} characters" if finding["type"] == "string_too_long" else ""
