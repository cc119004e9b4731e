"""`glasscan schema`: the shape of a scenario file, for editors."""

from __future__ import annotations

import argparse
import json
from typing import Any

from sim.commands.arguments import Verbs, add_verb


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    add_verb(verbs, "schema", run, "print the JSON Schema of scenario files")


def run(args: argparse.Namespace) -> int:  # noqa: ARG001 - the signature of all verbs
    """Print the schema."""
    print(json.dumps(scenario_schema(), indent=1))
    return 0


def scenario_schema() -> dict[str, Any]:
    """JSON Schema of a scenario file."""
    from pydantic.json_schema import GenerateJsonSchema

    from sim.lessons.schema import Scenario

    return {"$schema": GenerateJsonSchema.schema_dialect, **Scenario.model_json_schema()}
