"""A scenario with two questions and one key that varies, and a run made by hand behind it."""

from __future__ import annotations

from pathlib import Path

from glasscan.learning.exam.paper import Paper, Sources
from glasscan.learning.exam.paper_making import Order, make

from tests.learning.handmade import HandLog

SCENARIO = """\
scenario: oil-morning
title: A morning with cold oil
about: The Tallis T-3 stood outside all night at {air_c} °C.
world: invented
safety: Keep clear of the propeller; follow the approved maintenance data.
filter: can-full-flow
fluid: sae-50-mineral
air_c: -5
plant: {rig: piston-single}
timeline: [{at_s: 1, set: rpm, to: 900, over_s: 2}]
end_s: 8
vary:
  - {key: air_c, among: [-10, -5, 0, 5]}
prompts:
  - kind: numeric
    id: at-four
    ask: At {air_c} °C, what is the pressure difference at 4 s?
    quantity: {of: value-at-time, trace: dp_kpa, at_s: 4}
    unit: kPa
    tol_rel: 0.05
    marks: 2
    why: The difference is inlet minus outlet.
  - kind: single-choice
    id: who
    ask: What did the valve do?
    choices:
      - id: cracked
        text: It left its seat.
        true_when: [{fact: happens, event: bypass-cracks}]
        because: Cold oil is thick.
      - {id: seated, text: It stayed on its seat., true_when: [{fact: never, event: bypass-cracks}]}
      - {id: other, text: It had no spring., because: Every bypass valve has a spring.}
  - kind: predict-then-watch
    id: guess
    ask: Will the valve open?
    answer:
      form: choice
      choices:
        - {id: opens, text: It opens., true_when: [{fact: happens, event: bypass-cracks}]}
        - {id: shut, text: It stays shut.}
"""


def scenario_file(folder: Path) -> Path:
    """The scenario as a file."""
    path = folder / "oil-morning.yaml"
    path.write_text(SCENARIO, encoding="utf-8")
    return path


class FullLog(HandLog):
    """The run made by hand, with the columns a table of readings shows besides."""

    def __init__(self) -> None:
        super().__init__()
        self.trace.update(
            {
                "rpm": self.times_s * 0 + 900,
                "gauge_kpa": self.trace["outlet_kpa"],
                "element_flow_lpm": self.times_s * 0 + 10,
                "bypass_flow_lpm": self.trace["lift_mm"],
            }
        )


def small_paper(folder: Path, seed: int = 1) -> tuple[Paper, Sources]:
    """A paper of two questions, 3 marks, one minute."""
    order = Order("week-3", (str(scenario_file(folder)),), seed, 1.0)
    made = make(order, lambda _: FullLog())
    return made.paper, made.sources
