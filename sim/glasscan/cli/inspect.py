"""`glasscan inspect`: a used filter on the bench, without a window."""

from __future__ import annotations

import argparse
import json
import re
from typing import TYPE_CHECKING, Any

from glasscan.cli.arguments import Verbs, add_verb, seed
from glasscan.content import BadInput, nearest

if TYPE_CHECKING:
    from glasscan.workshop.inspection.inspection import Inspection

LONGEST_H = 400.0
"""Longest service that --beside runs, h."""
KINDS = ("can", "cartridge", "disc")


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "inspect", run, "open a used filter: what lies where, and what it means")
    parser.add_argument("scenario", nargs="?", metavar="SCENARIO", help="run this lesson and open its filter")
    parser.add_argument("--seed", type=seed, default=1, metavar="N", help="which filter, without a scenario")
    parser.add_argument("--filter", choices=KINDS, default="can", help="kind of filter, without a scenario")
    parser.add_argument("--story", metavar="WORD", help="what happened to it, instead of drawing it")
    parser.add_argument(
        "--open", dest="how", metavar="HOW", help="roller or saw; for a disc filter look or wash"
    )
    parser.add_argument(
        "--judge", action="append", default=[], metavar="HEAP=KIND,AMOUNT,ACTION",
        help="e.g. outside-1=D2,above,ground; several times",
    )  # fmt: skip
    parser.add_argument(
        "--not-sound", default="", metavar="PARTS", help="parts called not sound, e.g. valve,lip"
    )
    parser.add_argument(
        "--press", type=float, metavar="N", help="press the bypass valve with so many newtons"
    )
    parser.add_argument(
        "--beside", action="store_true", help="a good element beside an overdue one, from one run"
    )
    parser.add_argument(
        "--hours", metavar="GOOD,OVERDUE", default="25,150", help="with --beside: hours in service of both"
    )
    parser.add_argument("--solve", action="store_true", help="tell kinds and actions by the example sheet")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(args: argparse.Namespace) -> int:
    """Open, judge, tell."""
    from glasscan.workshop.inspection.inspection_report import inspection_told, marks_told

    if args.beside:
        return _beside(args)
    work = _brought(args)
    _opened(work, args.how)
    _judged(work, args.judge, args.not_sound)
    told = inspection_told(work, args.solve)
    if args.press is not None:
        told["valve"] = _pressed(work, args.press)
    if args.judge or args.not_sound:
        told["marking"] = marks_told(work.sheet())
    print(json.dumps(told, allow_nan=False) if args.json else "\n".join(in_words(told)))
    return 0


def _pressed(work: Inspection, force_n: float) -> dict[str, Any]:
    """The valve under a rod.

    Raises:
        BadInput: no force a hand gives, or no valve.
    """
    from glasscan.window.bench.filter_sources import network_of
    from glasscan.workshop.valve_press import MOST_N, ValvePress, press_told

    if not 0.0 <= force_n <= MOST_N:
        raise BadInput([f"--press: expected 0 to {MOST_N:g} N, found {force_n:g}"])
    own, proper = work.evidence.valve, network_of(work.evidence.element.kind).valve
    if own is None or proper is None:
        raise BadInput(["--press: this filter has no valve that can be pressed"])
    return dict(press_told(ValvePress(own, proper), force_n))


def _beside(args: argparse.Namespace) -> int:
    """Two elements of one engine, and what differs."""
    from glasscan.learning.catalogue import load_filter
    from glasscan.window.bench.filter_sources import RIGS, sound_rig
    from glasscan.workshop.inspection.side_by_side import beside_told, served

    hours = _two_hours(args.hours)
    seen = served(sound_rig(args.filter), load_filter(RIGS[args.filter][0]), hours)
    told = beside_told(args.filter, seen[0], seen[1])
    if args.json:
        print(json.dumps(told, allow_nan=False))
        return 0
    for row in told["differences"]:
        print(f"{row['name']}: {row['good']} beside {row['overdue']}. {row['says']}")
    for name in ("good", "overdue"):
        print(f"{told[name]['hours_h']:g} h: {told[name]['verdict']}")
    return 0


def _two_hours(text: str) -> tuple[float, float]:
    """Hours of both elements.

    Raises:
        BadInput: not two numbers that rise.
    """
    found = re.fullmatch(r"(\d{1,4}(?:\.\d)?),(\d{1,4}(?:\.\d)?)", text.strip())
    low, high = (float(found[1]), float(found[2])) if found else (0.0, 0.0)
    if not 0.0 < low < high <= LONGEST_H:
        raise BadInput([f"--hours: expected two numbers that rise to {LONGEST_H:g}, found '{text[:40]}'"])
    return low, high


def _brought(args: argparse.Namespace) -> Inspection:
    from glasscan.window.bench.filter_sources import by_seed, of_lesson

    if args.scenario is None:
        try:
            return by_seed(args.filter, args.seed, args.story)
        except ValueError as error:
            raise BadInput([f"glasscan inspect: {error}"]) from None
    if args.story:
        raise BadInput(["glasscan inspect: expected a scenario or --story, found both"])
    from glasscan.learning.scenario_loading import load_scenario

    return of_lesson(load_scenario(args.scenario))


def _opened(work: Inspection, how: str | None) -> None:
    ways = work.ways()
    if how is not None and how not in ways:
        raise BadInput([_choice("--open", how, ways)])
    work.open(next((w for w in ways if w == how), ways[0]))


def _judged(work: Inspection, judged: list[str], bad_parts: str) -> None:
    from glasscan.workshop.inspection.inspection_data import sources
    from glasscan.workshop.inspection.judgement import ACTIONS, AMOUNTS, Judgement

    heaps, kinds = work.heaps(), sources().kinds
    for text in judged:
        found = re.fullmatch(r"([\w-]+)=(\w+),(\w+),(\w+)", text)
        if found is None:
            raise BadInput([f"--judge: expected HEAP=KIND,AMOUNT,ACTION, found '{text[:60]}'"])
        heap, kind, amount, action = found.groups()
        for word, known in ((heap, heaps), (kind, kinds), (amount, AMOUNTS), (action, ACTIONS)):
            if word not in known:
                raise BadInput([_choice("--judge", word, tuple(known))])
        work.judge(heap, Judgement(kind, amount, action))  # type: ignore[arg-type]
    for part in filter(None, bad_parts.split(",")):
        if part not in work.evidence.parts:
            raise BadInput([_choice("--not-sound", part, tuple(work.evidence.parts))])
        work.bad_parts.add(part)


def _choice(key: str, found: str, known: tuple[str, ...]) -> str:
    near = nearest(found, known)
    meant = f" (did you mean {near!r}?)" if near else ""
    return f"{key}: expected one of {', '.join(known)}, found '{found[:40]}'{meant}"


def in_words(told: dict[str, Any]) -> list[str]:
    """The same for people."""
    lines = [
        f"{told['filter']} filter, {told['hours']:g} h in service, opened with: {told['opened']}",
        f"{told['mass_mg']:.0f} mg in all; wash ISO 4406 {told['patch']['iso4406']}",
    ]
    for h in told["heaps"]:
        film = f", film {h['film_mg']:.0f} mg" if h["film_mg"] else ""
        lines.append(
            f"{h['heap']}: {h['pieces']} pieces, {h['counted']} counted, "
            f"longest {h['longest_mm']:g} mm{film}; magnet: {h['magnet']}; "
            f"needle: {h['needle']}; lens: {h['lens']}"
        )
    lines += [f"{part}: {text}" for part, text in told["parts"].items()]
    if "valve" in told:
        v = told["valve"]
        moves = "not by this hand" if v["moves_at_n"] is None else f"at {v['moves_at_n']:g} N"
        lines.append(
            f"valve under {v['force_n']:g} N: {v['feel']} It moves {moves}; sheet {v['sheet_n']:g} N"
        )
    for name, right in told.get("right", {}).items():
        lines.append(f"right: {name} is {right['kind']}, {right['amount']}, {right['action']}")
    if told.get("tells"):
        lines.append(told["tells"])
    if "marking" in told:
        m = told["marking"]
        lines += [f"marks {m['marks']:g} of {m['out_of']:g}", *m["gates"]]
    return lines
