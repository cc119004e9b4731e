"""`glasscan schema [KIND]`: the shape of a data file, for editors: words, kinds, meanings, units."""

from __future__ import annotations

import argparse
import json
from collections.abc import Callable, Iterator, Sequence
from typing import Any

from glasscan.cli.arguments import Verbs, add_verb
from glasscan.content import BadInput, nearest
from glasscan.content_registry import BY_WORD, LESSON

Node = dict[str, Any]
MEANINGS = {
    "scenario": "id of the lesson, the same as the name of its file",
    "title": "what it is called on the screen",
    "about": "a paragraph for whoever opens it",
    "world": "invented, always: no real school, aircraft or engine",
    "objective": "what a learner can do afterwards",
    "codes": "codes of the syllabus it serves",
    "minutes": "time it takes in class",
    "safety": "the caution for the real work, shown with it",
    "level": "1 to 3",
    "seed": "start of the random numbers: same seed, same run",
    "filter": "which filter",
    "fluid": "which oil or hydraulic fluid",
    "air_c": "temperature of the air",
    "plant": "the rig round the filter",
    "rig": "which rig",
    "regulator": "where the pressure regulator sits: before or after the filter",
    "start": "how the rig stands before the start",
    "oil_c": "temperature of all oil; null = soaked to the air",
    "gallery_fill": "filled share of the gallery, 0 to 1",
    "dirt_g": "dirt that the element holds",
    "faults": "what is wrong with the rig",
    "fault": "code of a fault",
    "severity": "0 to 1: from barely there to as grave as it gets",
    "timeline": "what happens while it runs",
    "at_s": "when, from the start of the run",
    "over_s": "how long the change takes",
    "set": "what changes",
    "to": "the new value",
    "end_s": "end of the run",
    "vary": "keys that may take other values in a paper",
    "among": "the values it may take",
    "key": "a key of this file, or a number of the rig",
    "prompts": "the questions",
    "kind": "which kind",
    "ask": "the question; {air_c} puts the value of a key in",
    "answer": "the form of the answer",
    "form": "which form",
    "choices": "the lines to choose from",
    "options": "the lines to tick",
    "true_when": "facts of the run that make the line true; none = true where no other line is",
    "because": "why the line is right or wrong, told afterwards",
    "why": "the reason, told afterwards",
    "marks": "marks at most",
    "quantity": "a number read from the run",
    "of": "which kind of number",
    "trace": "column of the trace, with its unit",
    "event": "something the model does",
    "until": "the later event",
    "unit": "unit of the answer",
    "tol_abs": "how far off is still right, in the unit",
    "tol_rel": "how far off is still right, as a share",
    "notes": "for whoever presents it",
    "say": "what to say",
    "fact": "which kind of fact",
    "id": "a word of its own within the list",
    "text": "the line as it is shown",
    "part": "a named part of the filter",
}
"""Keys of a lesson in plain words; the unit stands at the end of the key and is put behind."""


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "schema", run, "print the JSON Schema of lessons, or of another kind of file")
    parser.add_argument("kind", metavar="KIND", nargs="?", default=LESSON.word, help=", ".join(BY_WORD))
    parser.add_argument("--json", action="store_true", help="on one line")


def run(args: argparse.Namespace) -> int:
    """Print the schema."""
    if args.kind not in BY_WORD:
        near = nearest(args.kind, list(BY_WORD))
        meant = f" (did you mean {near!r}?)" if near else ""
        raise BadInput(
            [f"glasscan schema: expected one of {', '.join(BY_WORD)}, found '{args.kind[:40]}'{meant}"]
        )
    print(json.dumps(schema_of(args.kind), indent=None if args.json else 1, ensure_ascii=False))
    return 0


def schema_of(word: str) -> Node:
    """JSON Schema of a kind of file, as editors take it."""
    from pydantic.json_schema import GenerateJsonSchema

    schema = BY_WORD[word].record().model_json_schema()
    words = _words() if word == LESSON.word else {}
    for node in _nodes(schema):
        node.pop("title", None) if isinstance(node.get("title"), str) else None
        _told_apart(node)
        for key, one in node.get("properties", {}).items():
            _explain(key, one)
            if key in words:
                _limit(one, words[key]())
    return {"$schema": GenerateJsonSchema.schema_dialect, "title": BY_WORD[word].meaning, **schema}


def scenario_schema() -> Node:
    """JSON Schema of a scenario file."""
    return schema_of(LESSON.word)


def _words() -> dict[str, Callable[[], Sequence[str]]]:
    """Words that exist, by the key behind which they stand."""
    from glasscan.faults.fault_data import faults
    from glasscan.learning.catalogue import names
    from glasscan.learning.syllabus import codes
    from glasscan.learning.vocabulary import EVENTS, all_columns

    events = lambda: EVENTS  # noqa: E731
    return {
        "fluid": lambda: names("fluids"),
        "filter": lambda: names("filters"),
        "rig": lambda: names("plants"),
        "event": events,
        "until": events,
        "after": events,
        "trace": all_columns,
        "lift": all_columns,
        "fault": lambda: tuple(faults()),
        "codes": codes,
    }


def _nodes(piece: Any) -> Iterator[Node]:
    """Every object of a schema, the schema itself first."""
    if isinstance(piece, dict):
        yield piece
        for value in list(piece.values()):
            yield from _nodes(value)
    elif isinstance(piece, list):
        for value in piece:
            yield from _nodes(value)


def _told_apart(node: Node) -> None:
    """Alternatives told apart by one key as `if` and `then`: editors then speak of the one meant."""
    chooser = node.pop("discriminator", None)
    if not chooser or "mapping" not in chooser:
        return
    key, mapping = chooser["propertyName"], chooser["mapping"]
    node.pop("oneOf", None)
    node.pop("anyOf", None)
    node["type"] = "object"
    node["required"] = [key]
    node["properties"] = {key: {"enum": list(mapping)}}
    node["allOf"] = [
        {"if": {"properties": {key: {"const": value}}, "required": [key]}, "then": {"$ref": target}}
        for value, target in mapping.items()
    ]


def _explain(key: str, node: Node) -> None:
    """Meaning and unit of a key."""
    from glasscan.content.unit_words import unit_of_key

    unit = unit_of_key(key)
    text = node.get("description") or MEANINGS.get(key, "")
    sign = f"unit: {unit.sign}" if unit and unit.sign else ""
    if text or sign:
        node["description"] = "; ".join(part for part in (text, sign) if part)
    if node.get("examples") == ["cold-start"]:
        node.pop("examples")


def _limit(node: Node, words: Sequence[str]) -> None:
    """Let a text be one of the words that exist, wherever in the node a text may stand."""
    for one in _nodes(node):
        if one.get("type") == "string":
            for rule in ("pattern", "maxLength", "minLength", "examples"):
                one.pop(rule, None)
            one["enum"] = list(words)
