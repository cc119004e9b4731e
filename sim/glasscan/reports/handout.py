"""A lesson on paper: questions with room and blank axes to predict on, and the answer key on its own page."""

from __future__ import annotations

from collections.abc import Iterable
from math import floor, log10
from typing import TYPE_CHECKING

from glasscan import __version__
from glasscan.reports.blank_section import blank_section
from glasscan.reports.html_pages import TEACHING_LINE, Html, Paper, element, page
from glasscan.units import to_si

if TYPE_CHECKING:
    from glasscan.learning.marking_log import MarkingLog
    from glasscan.learning.prompts import PosedQuestion
    from glasscan.learning.scenario_schema import Scenario

WIDE, HIGH = 640, 260  # of blank axes, units of the drawing
LEFT, FOOT = 50, 42
ACROSS, UP = 10, 6


def stamp(scenario: Scenario) -> str:
    """What every page, picture and table of a lesson carries."""
    return f"Glasscan {__version__}, scenario {scenario.scenario}, seed {scenario.seed}. Teaching only."


def sheet_salt(scenario: Scenario) -> str:
    """What mixes up the lines of a sheet: printed again it is the same, so that sheet and key agree."""
    return f"sheet {scenario.scenario} {scenario.seed}"


def handout_page(scenario: Scenario, paper: Paper = "A4") -> str:
    """The lesson sheet: what it is about, the caution, blank axes, and every question with room to answer."""
    parts = [element("p", "Name: " + "_" * 34 + "  Date: " + "_" * 18), element("p", scenario.about)]
    if scenario.safety:
        parts.append(element("p", scenario.safety, class_="note"))
    parts += [element("h2", "The filter"), blank_section(scenario), element("h2", "Your prediction")]
    minutes = f"time, 0 to {scenario.end_s:g} s"
    span_kpa, travel_mm = _full_scales(scenario)
    ends = (0.0, scenario.end_s)
    parts.append(blank_axes("Differential pressure across the filter", "kPa", minutes, ends, (0.0, span_kpa)))
    if travel_mm > 0:
        parts.append(blank_axes("Lift of the bypass valve", "mm", minutes, ends, (0.0, travel_mm)))
    parts.append(element("h2", "Questions"))
    for number, asked in enumerate(_questions(scenario), 1):
        parts += _question(number, asked)
    return page(scenario.title, *parts, paper=paper, made=stamp(scenario))


def key_page(scenario: Scenario, log: MarkingLog, paper: Paper = "A4") -> str:
    """The answers, read from the run; a page apart from the questions."""
    from glasscan.learning.prompts import asked, mark
    from glasscan.learning.question_type import type_of

    parts = [element("p", TEACHING_LINE, class_="note")]
    for number, prompt in enumerate(scenario.prompts, 1):
        shown = asked(prompt, scenario, log, sheet_salt(scenario))
        result = mark(prompt, type_of(shown).any_answer(shown), log)
        parts.append(element("h3", f"{number}. {shown.text}"))
        parts.append(element("p", element("strong", result.key or "see the reason")))
        if prompt.why:
            parts.append(element("p", prompt.why))
    return page(f"Answer key: {scenario.title}", *parts, paper=paper, made=stamp(scenario))


def _full_scales(scenario: Scenario) -> tuple[float, float]:
    """Ends of the upright axes: kPa, twice what opens the valve, and mm of its lift; both round."""
    from glasscan.learning.catalogue import load_filter

    valve = getattr(load_filter(scenario.filter), "valve", None)
    if valve is None:
        return 300.0, 0.0
    kpa = 2 * to_si(valve.cracking_psi, "psi") / 1e3
    return UP * _round_step(kpa / UP), UP * _round_step(valve.max_lift_mm / UP)


def _round_step(value: float) -> float:
    """The next of 1, 2, 2.5, 5 and 10 times a power of ten."""
    power = 10.0 ** floor(log10(value))
    return next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= value * (1 - 1e-9))


def blank_axes(
    title: str,
    unit: str,
    along: str,
    across: tuple[float, float] | None = None,
    up: tuple[float, float] | None = None,
) -> Html:
    """Empty axes with a grid to draw a curve on, as inline SVG; `across` and `up` number the grid."""
    parts: list[Html] = [element("title", f"Blank axes: {title}")]
    right, bottom = LEFT + WIDE, HIGH
    for i in range(ACROSS + 1):
        x = LEFT + WIDE * i / ACROSS
        parts.append(_line(x, 0, x, bottom, i == 0))
        if across is not None and i % 2 == 0:
            told = f"{across[0] + (across[1] - across[0]) * i / ACROSS:g}"
            parts.append(element("text", told, x=x, y=bottom + 14, font_size=12, text_anchor="middle"))
    for j in range(UP + 1):
        y = HIGH * j / UP
        parts.append(_line(LEFT, y, right, y, j == UP))
        if up is not None and j > 0:
            told = f"{up[1] - (up[1] - up[0]) * j / UP:g}"
            parts.append(element("text", told, x=LEFT - 4, y=y + 4, font_size=12, text_anchor="end"))
    parts.append(element("text", unit, x=4, y=14, font_size=14))
    parts.append(element("text", along, x=LEFT, y=bottom + 30, font_size=14))
    picture = element("svg", *parts, viewBox=f"0 0 {right + 4} {bottom + FOOT}", width=right, role="img")
    return element("figure", picture, element("figcaption", title))


def _line(x1: float, y1: float, x2: float, y2: float, axis: bool) -> Html:
    ink = {"stroke": "#000" if axis else "#999", "stroke_width": 2 if axis else 1}
    return element("line", x1=f"{x1:g}", y1=f"{y1:g}", x2=f"{x2:g}", y2=f"{y2:g}", **ink)


def _questions(scenario: Scenario) -> Iterable[PosedQuestion]:
    """Every prompt; those whose numbers come from the run are asked as open numbers."""
    from glasscan.learning.ask_wording import fill
    from glasscan.learning.prompts import PosedQuestion, asked, needs_run

    for prompt in scenario.prompts:
        if needs_run(prompt):
            yield PosedQuestion(prompt.id, "after", fill(prompt.ask, scenario), "number", marks=prompt.marks)
        else:
            yield asked(prompt, scenario, None, sheet_salt(scenario))


def _question(number: int, asked: PosedQuestion) -> list[Html]:
    from glasscan.learning.question_type import type_of

    word = "mark" if asked.marks == 1 else "marks"
    marks = f" ({asked.marks:g} {word})" if asked.marks else ""
    parts = [element("h3", f"{number}. {asked.text}{marks}")]
    if asked.axes is not None:
        a = asked.axes
        parts.append(blank_axes("Draw the curve", a.unit, f"time, {a.from_s:g} to {a.to_s:g} s"))
    if asked.choices:
        parts += [element("p", f"☐ {text}") for _, text in asked.choices]
    for test in asked.tests:
        parts.append(element("p", f"☐ test: {test.title}, {test.minutes:g} min"))
    for start, end in zip(asked.edges_s, asked.edges_s[1:], strict=False):
        parts.append(element("p", f"{start:g} to {end:g} s: valve  ☐ open  ☐ shut"))
    parts += [element("p", "_" * 60) for _ in range(type_of(asked).ruled)]
    return parts
