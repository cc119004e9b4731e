"""`glasscan shot SCENARIO [--at SECONDS] [--view VIEW] [--out FILE.png]`: one frame, without a display.

With `--json` it also tells what was drawn, as noted by the code that drew it (`drawn`).
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from glasscan.cli.arguments import Verbs, add_scenario, add_verb, scenario_of, seconds, size
from glasscan.cli.outputs import cannot_write, ready
from glasscan.content import BadInput
from glasscan.window.lesson.picture_facts import VIEWS

AT_S = 10.0
"""Moment shown where none is named: every shipped rig turns by then, s."""


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "shot", run, "draw the window's frame of one moment into a file")
    add_scenario(parser)
    parser.add_argument(
        "--at", dest="at_s", type=seconds, default=AT_S, metavar="SECONDS", help=f"model time ({AT_S:g})"
    )
    parser.add_argument(
        "--out", type=Path, metavar="FILE.png", help="picture to write (glasscan-SCENARIO.png, here)"
    )
    parser.add_argument("--size", type=size, default=(1920, 1080), metavar="WxH", help="pixels (1920x1080)")
    parser.add_argument("--theme", choices=("light", "dark"), default="dark", help="colours")
    parser.add_argument("--view", choices=VIEWS, default=VIEWS[0], help="what fills the middle (section)")
    parser.add_argument("--no-names", action="store_true", help="leave the names of the parts out")
    parser.add_argument(
        "--move", action="append", default=[], type=_move, metavar="SECONDS:KEY=VALUE",
        help="move a control at a moment, as by hand: rpm, air_c, fluid, regulator; may be given again",
    )  # fmt: skip
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def _move(text: str) -> tuple[float, str, object]:
    """A control moved at a moment, from `SECONDS:KEY=VALUE`."""
    at, colon, rest = text.partition(":")
    key, equals, value = rest.partition("=")
    try:
        at_s = float(at)
    except ValueError:
        at_s = -1.0
    if not (colon and equals and key and value) or at_s < 0.0:
        raise argparse.ArgumentTypeError(f"expected SECONDS:KEY=VALUE, such as 12:rpm=1500, found {text!r}")
    try:
        return at_s, key, float(value)
    except ValueError:
        return at_s, key, value


def run(args: argparse.Namespace) -> int:
    """Draw one frame."""
    if args.out is not None and args.out.suffix.lower() != ".png":
        raise BadInput([f"{args.out}: expected the name of a .png file"])
    scenario = scenario_of(args)
    path = args.out or Path(f"glasscan-{scenario.scenario}.png")
    ready(path.parent)
    from glasscan.window.lesson.offscreen_pictures import drawn_frame

    try:
        _, drawn = drawn_frame(
            scenario, args.at_s, path, args.size, args.theme, args.view, not args.no_names, args.move
        )
    except ValueError as error:
        raise BadInput([f"--move: {' '.join(str(error).split())}"]) from None
    except OSError as error:
        raise cannot_write(path, error) from None
    print(f"wrote {path}", file=sys.stderr)
    if args.json:
        w, h = args.size
        at_s = min(args.at_s, scenario.end_s)
        told = {"scenario": scenario.scenario, "seed": scenario.seed, "at_s": at_s, "file": str(path)}
        seen = {"width_px": w, "height_px": h, "theme": args.theme, "view": args.view, "drawn": drawn}
        print(json.dumps({**told, **seen}))
    return 0
