"""`glasscan schema`: the shape of a scenario file, for editors."""

from __future__ import annotations

import argparse
import json
from typing import Any

from glasscan.cli.arguments import Verbs, add_verb


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "schema", run, "print the JSON Schema of scenario files")
    parser.add_argument("--json", action="store_true", help="on one line")


def run(args: argparse.Namespace) -> int:
    """Print the schema."""
    print(json.dumps(scenario_schema(), indent=None if args.json else 1))
    return 0


def scenario_schema() -> dict[str, Any]:
    """JSON Schema of a scenario file."""
    from pydantic.json_schema import GenerateJsonSchema

    from glasscan.learning.scenario_schema import Scenario

    return {"$schema": GenerateJsonSchema.schema_dialect, **Scenario.model_json_schema()}
