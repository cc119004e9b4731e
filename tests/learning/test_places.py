"""The place of a line says nothing: what a learner is shown, over all shipped lessons and many sittings.

Outside numbers: the chi-square distribution (scipy), and chance itself, 1 in k.
"""

from __future__ import annotations

from collections import Counter

from glasscan.learning import prompt_schema as ask
from glasscan.learning.catalogue import scenario_names
from glasscan.learning.prompts import PosedQuestion, asked
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from scipy.stats import chisquare

from tests.learning.playing import form_of

SITTINGS = tuple(f"{i:032x}" for i in range(20))
LEAST_P = 0.001


def listed() -> list[tuple[Scenario, ask.Prompt]]:
    """Every question of every lesson that lists fixed lines."""
    scenarios = [load_scenario(name) for name in scenario_names()]
    return [
        (s, p)
        for s in scenarios
        for p in s.prompts
        if isinstance(form_of(p), ask.SingleChoice | ask.ChoiceForm | ask.SeveralForm | ask.OrderForm)
    ]


def shown(scenario: Scenario, prompt: ask.Prompt, salt: str) -> PosedQuestion:
    """The question as it is put."""
    return asked(prompt, scenario, None, salt)


def written(prompt: ask.Prompt) -> list[str]:
    """Ids in the order of the file, without those that stay last."""
    form = form_of(prompt)
    lines = getattr(form, "choices", ()) or getattr(form, "options", ()) or form.steps
    return [line.id for line in lines if not getattr(line, "last", False)]


def test_the_line_written_first_comes_in_every_place_alike() -> None:
    """Of lists of each length line one and line two come in all places alike (chi-square)."""
    for nth in (0, 1):
        places: dict[int, Counter[int]] = {}
        for scenario, prompt in listed():
            ids = written(prompt)
            for salt in SITTINGS:
                names = [n for n, _ in shown(scenario, prompt, salt).choices if n in ids]
                places.setdefault(len(ids), Counter())[names.index(ids[nth])] += 1
        for count, found in places.items():
            assert chisquare([found[i] for i in range(count)]).pvalue > LEAST_P, (nth, count, found)


def test_lines_that_stay_last_do() -> None:
    """A line marked so stands behind all others, in every sitting."""
    for scenario, prompt in listed():
        form = form_of(prompt)
        last = [line.id for line in getattr(form, "choices", getattr(form, "options", ())) if line.last]
        for salt in SITTINGS[:5]:
            names = [name for name, _ in shown(scenario, prompt, salt).choices]
            assert names[len(names) - len(last) :] == last, prompt.id


def test_a_sitting_is_asked_alike_again_and_another_is_not() -> None:
    """The same salt gives the same order; of 20 sittings of one list of four at least ten orders are seen."""
    for scenario, prompt in listed():
        orders = {shown(scenario, prompt, salt).choices for salt in SITTINGS}
        assert shown(scenario, prompt, SITTINGS[3]) == shown(scenario, prompt, SITTINGS[3])
        free = len(written(prompt))
        assert len(orders) >= {2: 2, 3: 4}.get(free, 10), prompt.id
