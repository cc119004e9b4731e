"""`glasscan shot SCENARIO --at SECONDS --out FILE.png`: one frame of the window, without a display."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from sim.commands.arguments import Verbs, add_scenario, add_verb, seconds, size
from sim.commands.outputs import cannot_write, ready
from sim.lessons.scenarios import load_scenario
from sim.loading import BadInput


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "shot", run, "draw the window's frame of one moment into a file")
    add_scenario(parser)
    parser.add_argument(
        "--at", dest="at_s", type=seconds, required=True, metavar="SECONDS", help="model time"
    )
    parser.add_argument("--out", type=Path, required=True, metavar="FILE.png", help="picture to write")
    parser.add_argument("--size", type=size, default=(1920, 1080), metavar="WxH", help="pixels (1920x1080)")
    parser.add_argument("--theme", choices=("light", "dark"), default="dark", help="colours")


def run(args: argparse.Namespace) -> int:
    """Draw one frame."""
    if args.out.suffix.lower() != ".png":
        raise BadInput([f"{args.out}: expected the name of a .png file"])
    scenario = load_scenario(args.scenario, args.overrides)
    ready(args.out.parent)
    from sim.screens.picture import draw_frame

    try:
        draw_frame(scenario, at_s=args.at_s, path=args.out, size=args.size, theme=args.theme)
    except OSError as error:
        raise cannot_write(args.out, error) from None
    print(f"wrote {args.out}", file=sys.stderr)
    return 0
