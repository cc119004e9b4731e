"""What must hold inside a prompt: ids once, parts that exist, pairs that can be kept, axes that are axes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from pydantic import BaseModel

from glasscan.content import nearest
from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.faults.fault_data import acting
from glasscan.learning import prompt_schema as ask
from glasscan.learning.cases.test_menu import tests_for
from glasscan.learning.catalogue import load_filter, names
from glasscan.learning.part_names import part_names

HOLE = re.compile(r"\{([a-z0-9-]{1,60})\}")
"""Place of an item's number in the example of a log entry."""


def form_fits(piece: BaseModel, here: Path) -> Iterator[Finding]:
    """Findings of one form of answer."""
    if isinstance(piece, ask.SeveralForm):
        yield from _once([o.id for o in piece.options], (*here, "options"))
    elif isinstance(piece, ask.PointForm):
        yield from _targets_fit(piece, here)
    elif isinstance(piece, ask.OrderForm):
        yield from _once([s.id for s in piece.steps], (*here, "steps"))
        yield from _order_fits(piece, here)
    elif isinstance(piece, ask.CurveForm):
        yield from _axes_fit(piece, here)
    elif isinstance(piece, ask.EntryForm):
        yield from _entry_fits(piece, here)
    elif isinstance(piece, ask.CaseForm):
        yield from _case_fits(piece, here)


def parts_fit(prompt: ask.Prompt, here: Path, filter_name: str) -> Iterator[Finding]:
    """Check that the parts of a pointing prompt belong to the filter of the scenario."""
    form, at = (prompt.answer, (*here, "answer")) if isinstance(prompt, ask.Predict) else (prompt, here)
    if not isinstance(form, ask.PointForm) or filter_name not in names("filters"):
        return  # a filter that is not there is told by a check of its own, with its place in the file
    known = part_names(filter_name)
    named = [("targets", i, t.part) for i, t in enumerate(form.targets)]
    named += [("near", i, n.part) for i, n in enumerate(form.near)]
    for where, i, part in named:
        if part not in known:
            text = f"this filter has no part '{part}': expected one of {', '.join(known)}"
            yield (*at, where, i, "part"), text, nearest(part, known)


def _once(ids: Sequence[str], here: Path) -> Iterator[Finding]:
    for i, name in enumerate(ids):
        if name in ids[:i]:
            yield (*here, i, "id"), f"duplicate id '{name}'", None


def _targets_fit(form: ask.PointForm, here: Path) -> Iterator[Finding]:
    for i, target in enumerate(form.targets[:-1]):
        if not target.true_when:
            yield (*here, "targets", i), "missing key true_when: only the last target goes without", None
    if form.targets[-1].true_when:
        path = (*here, "targets", len(form.targets) - 1, "true_when")
        yield path, "the last target stands for anything else: expected no true_when", None
    asked = [t.part for t in form.targets]
    for i, near in enumerate(form.near):
        if near.part in asked:
            yield (*here, "near", i, "part"), f"'{near.part}' is a target already", None


def _order_fits(form: ask.OrderForm, here: Path) -> Iterator[Finding]:
    known = [s.id for s in form.steps]
    for where, pairs in (("before", form.before), ("critical", form.critical)):
        for i, pair in enumerate(pairs):
            for key in ("first", "then"):
                name = getattr(pair, key)
                if name not in known:
                    text = f"expected one of the steps {', '.join(known)}, found '{name}'"
                    yield (*here, where, i, key), text, nearest(name, known)
    events = [s.event is not None for s in form.steps]
    if any(events) and (not all(events) or form.before):
        yield (
            (*here, "steps"),
            "expected an event for every step and no before: the run gives the order",
            None,
        )
    elif not any(events):
        yield from _no_circle(form, here)


def _no_circle(form: ask.OrderForm, here: Path) -> Iterator[Finding]:
    """Follow the pairs as far as they lead: a step that comes before itself can never be placed."""
    listed = [s.id for s in form.steps]
    chain = [] if form.before else list(pairwise(listed))
    pairs = {(p.first, p.then) for p in (*form.before, *form.critical)} | set(chain)
    for middle in listed:
        pairs |= {(a, d) for a, b in tuple(pairs) for c, d in tuple(pairs) if b == middle == c}
    if any(a == b for a, b in pairs):
        yield (*here, "before" if form.before else "critical"), "the pairs run in a circle", None


def _axes_fit(form: ask.CurveForm, here: Path) -> Iterator[Finding]:
    if form.to_s <= form.from_s:
        yield (*here, "to_s"), f"expected a time after from_s = {form.from_s:g} s", None
    if form.top <= form.bottom:
        yield (*here, "top"), f"expected more than bottom = {form.bottom:g}", None
    inside = all(form.from_s <= t <= form.to_s for t in form.edges_s)
    if list(form.edges_s) != sorted(set(form.edges_s)) or not inside or len(form.edges_s) == 1:
        yield (*here, "edges_s"), "expected two or more rising times between from_s and to_s", None


def _entry_fits(form: ask.EntryForm, here: Path) -> Iterator[Finding]:
    yield from _once([item.id for item in form.items], (*here, "items"))
    for i, item in enumerate(form.items):
        if not item.words and item.number is None:
            yield (*here, "items", i), "expected words, a number, or both", None
    numbers = [item.id for item in form.items if item.number]
    for name in HOLE.findall(form.example):
        if name not in numbers:
            yield (*here, "example"), f"{{{name}}} is no item with a number", nearest(name, numbers)


def _case_fits(form: ask.CaseForm, here: Path) -> Iterator[Finding]:
    """Suspects act on this filter, the fault is one of them, and the tests are possible."""
    possible = [f.fault for f in acting(form.filter_kind, form.regulator) if f.waits_for is None]
    for i, code in enumerate(form.suspects):
        if code not in possible:
            text = f"'{code}' does not act on this filter: expected one of {', '.join(possible)}"
            yield (*here, "suspects", i), text, nearest(code, possible)
        if code in form.suspects[:i]:
            yield (*here, "suspects", i), f"'{code}' stands twice", None
    if form.fault not in form.suspects:
        text = f"expected one of the suspects {', '.join(form.suspects)}"
        yield (*here, "fault"), text, nearest(form.fault, form.suspects)
    offered = [test.test for test in tests_for(form.filter_kind)]
    for i, word in enumerate(form.tests):
        if word not in offered:
            text = f"this filter has no test '{word}': expected one of {', '.join(offered)}"
            yield (*here, "tests", i), text, nearest(word, offered)
        if word in form.tests[:i]:
            yield (*here, "tests", i), f"'{word}' stands twice", None


def case_fits(prompt: ask.Prompt, here: Path, filter_name: str) -> Iterator[Finding]:
    """The case of a lesson is on the lesson's own kind of filter."""
    form, at = (prompt.answer, (*here, "answer")) if isinstance(prompt, ask.Predict) else (prompt, here)
    if not isinstance(form, ask.CaseForm) or filter_name not in names("filters"):
        return
    kind = load_filter(filter_name).kind
    if form.filter_kind != kind:
        yield (*at, "filter_kind"), f"expected '{kind}', as the filter of this lesson is", None
