"""Reading the command line: one clear line for a bad word, with the nearest good one."""

from __future__ import annotations

import argparse
import math
import re
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, NoReturn

from glasscan.cli.examples import examples
from glasscan.content import BadInput, nearest

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario

Verbs = Any
"""What `argparse` gives for adding verbs; it has no public name."""

Run = Callable[[argparse.Namespace], int]

LONGEST_S = 3.6e7
"""Longest run, s (10,000 hours)."""

LARGEST_PX = 8192
"""Largest picture side, pixels."""


class Parser(argparse.ArgumentParser):
    """Raises `BadInput` instead of printing the usage and leaving."""

    def error(self, message: str) -> NoReturn:
        """Refuse with one line."""
        wrong = re.search(r"invalid choice: '(.*)' \(choose from (.*)\)", message)
        near = nearest(wrong[1], re.findall(r"[\w-]+", wrong[2])) if wrong else None
        meant = f"did you mean {near!r}?" if near else f"see {self.prog} --help"
        raise BadInput([f"{self.prog}: {message} ({meant})"])

    def parse(self, argv: Sequence[str]) -> argparse.Namespace:
        """Arguments as a namespace.

        Raises:
            BadInput: an unknown word, with the nearest known one, or a value out of range.
        """
        args, extra = self.parse_known_args(list(argv))
        if extra:
            verb = getattr(args, "parser", self)
            raise BadInput([f"{verb.prog}: {_unknown(verb, extra[0])}"])
        return args


def _unknown(parser: argparse.ArgumentParser, word: str) -> str:
    known = [o for action in parser._actions for o in action.option_strings]
    near = nearest(word.split("=")[0], known) if word.startswith("-") else None
    meant = f" (did you mean {near!r}?)" if near else f" (see {parser.prog} --help)"
    return f"unknown argument '{word[:40]}'{meant}"


def scenario_of(args: argparse.Namespace) -> Scenario:
    """The scenario that the arguments of `add_scenario` name; its reader is imported only now.

    Raises:
        BadInput: the file or an override is bad.
    """
    from glasscan.learning.scenario_loading import load_scenario

    return load_scenario(args.scenario, args.overrides)


def add_verb(verbs: Verbs, name: str, run: Run, summary: str) -> Parser:
    """A verb with its own parser; `run` gets the arguments and gives the exit code."""
    parser: Parser = verbs.add_parser(
        name,
        help=summary,
        description=summary,
        allow_abbrev=False,
        epilog=examples(name),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.set_defaults(run=run, parser=parser)
    return parser


def add_scenario(parser: Parser) -> None:
    """The arguments that name a scenario and change its keys."""
    parser.add_argument("scenario", metavar="SCENARIO", help="a file, or the id of a shipped scenario")
    parser.add_argument(
        "--set",
        dest="overrides",
        metavar="KEY=VALUE",
        action="append",
        default=[],
        help="change a key of the scenario file, e.g. air_c=-18 or plant.regulator=before",
    )


def seconds(text: str) -> float:
    """A time above or at zero, s."""
    try:
        value = float(text.replace(",", "."))
    except ValueError:
        value = math.nan
    if not 0 <= value <= LONGEST_S:
        raise argparse.ArgumentTypeError(f"expected seconds from 0 to {LONGEST_S:.0f}, found '{text[:40]}'")
    return value


def duration(text: str) -> float:
    """A time above zero, s."""
    value = seconds(text)
    if value == 0:
        raise argparse.ArgumentTypeError("expected more than 0 seconds")
    return value


def seed(text: str) -> int:
    """A whole number that starts the random numbers."""
    if not re.fullmatch(r"[0-9]{1,10}", text) or int(text) >= 2**31:
        raise argparse.ArgumentTypeError(
            f"expected a whole number from 0 to {2**31 - 1}, found '{text[:40]}'"
        )
    return int(text)


def size(text: str) -> tuple[int, int]:
    """A picture size such as 1920x1080, pixels."""
    found = re.fullmatch(r"([0-9]{2,5})[xX×]([0-9]{2,5})", text)
    sides = (int(found[1]), int(found[2])) if found else (0, 0)
    if min(sides) < 16 or max(sides) > LARGEST_PX:
        text = f"expected WIDTHxHEIGHT in pixels up to {LARGEST_PX}, such as 1920x1080, found '{text[:40]}'"
        raise argparse.ArgumentTypeError(text)
    return sides
