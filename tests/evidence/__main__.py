"""The evidence in pictures, as one page: `python -m tests.evidence [--out evidence.html]` (takes minutes).

Convergence against closed forms and a published series, refinement of the shipped filters, laminar flow
against Newton's method begun anew over the Reynolds number, and what the mutation command found.
"""

from __future__ import annotations

import argparse
import math
import sys
from collections.abc import Iterator
from pathlib import Path

import glasscan
from glasscan.flow.model_problems import brinkman_channel_ratio, cylinder_array_drag
from glasscan.reports.html_pages import Html, element, number, page, table

from tests.bench.bench_field import shipped
from tests.bench.bench_laminar import errors
from tests.bench.table import machine
from tests.evidence.curves import Curve, chart
from tests.filters.refinement import FILTERS, drops
from tests.mutation.verdicts import LAST_RUN, Row, read, rows_of

CELLS = (6, 12, 24, 48)
SANGANI_ACRIVOS = {0.05: 15.56, 0.1: 24.83, 0.2: 51.53, 0.3: 102.9}
"""Drag of a square array of cylinders by solid share (Sangani and Acrivos 1982, four digits)."""
NAMES = {"can-full-flow": "spin-on", "cartridge-bowl": "cartridge", "disc-stack": "stacked discs"}
FINENESS, FINEST = (1.0, 1.25, 1.5, 2.0), 2.5
RES = (15.0, 45.0, 90.0, 180.0, 420.0, 850.0)


def convergence() -> list[Html]:
    """Errors of the flow solver where the answer is known."""
    curves = []
    for lam in (1.0, 5.0, 20.0):
        exact = 1 - math.tanh(lam) / lam
        points = [(n, abs(brinkman_channel_ratio(lam, n) / exact - 1)) for n in CELLS]
        curves.append(Curve(f"Brinkman, λ = {lam:g}", points))
    drags = [(c, d, cylinder_array_drag(c, 24)) for c, d in SANGANI_ACRIVOS.items()]
    rows = [(f"{c:g}", f"{d:g}", number(found, 3), f"{found / d - 1:+.2%}") for c, d, found in drags]
    return [
        element("h2", "Convergence"),
        element("p", "A channel filled with a porous medium, against its closed form."),
        chart(curves, "cells across the channel", "relative error"),
        element("p", "Drag of a square array of cylinders, 24 cells (Sangani and Acrivos 1982)."),
        table(("solid share", "published", "here", "differs by"), rows),
    ]  # fmt: skip


def refinement() -> list[Html]:
    """How far the drop of each shipped filter moves on finer grids."""
    curves = []
    for name in FILTERS:
        limit = float(drops(name, FINEST).sum())
        points = [(f, max(abs(float(drops(name, f).sum()) / limit - 1), 1e-7)) for f in FINENESS]
        curves.append(Curve(NAMES[name], points))
    told = f"Drop of the whole clean filter with oil at creep, against the grid {FINEST:g} times as fine."
    return [element("h2", "Refinement"), element("p", told), chart(curves, "fineness", "differs by")]


def reynolds() -> list[Html]:
    """Error of the laminar table over the Reynolds number."""
    section = shipped("can-full-flow")
    section.prepare_laminar()
    assert section.laminar is not None
    known = section.laminar
    found = [(re, *errors(section, known, re)) for re in RES if re <= known.highest_re]
    curves = [
        Curve("even segments", [(re, max(even, 1e-6)) for re, even, _ in found]),
        Curve("uneven by a fifth", [(re, uneven) for re, _, uneven in found]),
    ]
    told = (
        "The picture's velocity in the spin-on filter against Newton's method begun anew; aims 2 % and 5 %. "
        f"The table ends at Re {known.highest_re:g} at the outlet."
    )
    return [element("h2", "Reynolds number"), element("p", told), chart(curves, "Re at the outlet", "error")]


def mutation() -> list[Html]:
    """What the last run of the mutation command found."""
    said = read(LAST_RUN)
    told = "Small faults put into the laws one at a time; killed: a test beside the law fails."
    left = [element("li", mutant) for verdict, mutant in said if verdict == "survived"]
    rows: list[Row] = rows_of(said)
    head = ("room", "faults", "killed", "survived", "no time")
    return [
        element("h2", "Mutation"),
        element("p", told),
        table(head, [tuple(map(str, row)) for row in rows]),
        element("p", "Survivors (tests/README.md tells which of them have been answered since):"),
        element("ul", *left),
    ]


def parts() -> Iterator[Html]:
    """All of it, told as it goes."""
    for make in (convergence, refinement, reynolds, mutation):
        print(f"{make.__name__} ...", file=sys.stderr, flush=True)
        yield from make()


def main() -> int:
    """Draw the page."""
    parser = argparse.ArgumentParser(prog="python -m tests.evidence")
    parser.add_argument("--out", type=Path, default=Path("evidence.html"))
    args = parser.parse_args()
    made = f"Glasscan {glasscan.__version__}; {machine()}"
    args.out.write_text(page("Evidence", *parts(), made=made), encoding="utf-8")
    print(args.out)
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
