"""The truth of each heap by the example sheet, and the marks of a person's judgement against it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from glasscan.workshop.inspection.evidence import Evidence
from glasscan.workshop.inspection.heaps import PLACE_WORDS, Heap
from glasscan.workshop.inspection.inspection_data import Action, manual, sources
from glasscan.workshop.inspection.piece_layout import OPENINGS, SWARF, Laid

Amount = Literal["within", "above"]
AMOUNTS: tuple[Amount, ...] = get_args(Amount)
ACTIONS: tuple[Action, ...] = get_args(Action)
BEHIND = ("inside", "core")
STOPS = ("ground", "reject")
"""Actions that keep the machine on the ground."""
KIND_MARKS, AMOUNT_MARKS, ACTION_MARKS, PART_MARKS, OPENING_MARKS = 2.0, 1.0, 2.0, 1.0, 1.0


@dataclass(frozen=True)
class Judgement:
    """What a person says of a heap: its kind, whether it is above the sheet's limit, what is to be done."""

    kind: str
    amount: Amount
    action: Action


@dataclass(frozen=True)
class JudgementMark:
    """Marks for one thing.

    Attributes:
        what: heap id, part, or "opening".
        got, out_of: marks.
        right: what would have been right, in words.
        why: reasons, one to a line.
        missed: a defect that was overlooked.
    """

    what: str
    got: float
    out_of: float
    right: str
    why: tuple[str, ...]
    missed: bool = False


@dataclass(frozen=True)
class LimitSheet:
    """All marks of an inspection; a missed defect is a gate: 'not yet', whatever the marks."""

    marks: tuple[JudgementMark, ...]

    @property
    def got(self) -> float:
        """Marks earned."""
        return sum(m.got for m in self.marks)

    @property
    def out_of(self) -> float:
        """Full marks."""
        return sum(m.out_of for m in self.marks)

    @property
    def gates(self) -> tuple[str, ...]:
        """Defects that were missed."""
        return tuple(f"missed defect: {m.right}" for m in self.marks if m.missed)


def truth(heap: Heap, evidence: Evidence) -> Judgement:
    """The right judgement of a heap by the example sheet."""
    limit = manual().kinds[heap.code]
    amount: Amount = "above" if _above(heap, evidence) else "within"
    if heap.place in BEHIND:
        return Judgement(heap.code, "above", limit.inside)
    return Judgement(heap.code, amount, limit.above if amount == "above" else limit.within)


def _above(heap: Heap, evidence: Evidence) -> bool:
    sheet = manual()
    limit = sheet.kinds[heap.code]
    most_kg = sheet.film_limit_g_per_10_h[evidence.element.kind] * 1e-3 * max(evidence.hours, 10.0) / 10.0
    too_long = heap.counted > 0 and heap.longest_m > limit.longest_mm * 1e-3
    number = heap.counted if limit.most else heap.count  # where none is allowed, the small ones count too
    return number > limit.most or too_long or heap.film_kg > most_kg


def marked(
    laid: Laid,
    evidence: Evidence,
    heaps: Mapping[str, Heap],
    said: Mapping[str, Judgement],
    bad_parts: frozenset[str],
) -> LimitSheet:
    """Mark an inspection.

    Args:
        laid: the bench.
        evidence: what there was.
        heaps: every heap by id, found or not.
        said: judgements by heap id; a heap without one was not found or not judged.
        bad_parts: parts that the person calls not sound.
    """
    marks = [_opening(laid, evidence)]
    marks += [_heap(heap, said.get(name), evidence) for name, heap in heaps.items()]
    marks += [_part(part, part in bad_parts, evidence) for part in evidence.parts]
    return LimitSheet(tuple(marks))


def _opening(laid: Laid, evidence: Evidence) -> JudgementMark:
    good = OPENINGS[evidence.element.kind][0]
    right = {"roller": "a rolling cutter", "look": "look first, wash later"}[good]
    why = {
        "roller": "The rolling cutter leaves no chips.",
        "saw": "A saw leaves fresh curls of steel on the outside, which look like debris.",
        "look": "Bands and film are seen only before washing.",
        "wash": f"Washing first took {laid.lost_kg * 1e6:.0f} mg of evidence away before anybody saw it.",
    }[laid.opened]
    return JudgementMark("opening", OPENING_MARKS * (laid.opened == good), OPENING_MARKS, right, (why,))


def _heap(heap: Heap, said: Judgement | None, evidence: Evidence) -> JudgementMark:
    right, sheet, facts = truth(heap, evidence), manual(), sources().kinds
    full = KIND_MARKS + AMOUNT_MARKS + ACTION_MARKS
    place = PLACE_WORDS[evidence.element.kind][heap.place]
    words = f"{heap.code}, {place}: {_side(right, heap)}. {sheet.actions[right.action]}"
    missed = right.action in STOPS and (said is None or said.action not in STOPS)
    if said is None:
        why = (f"Not found, or not judged. {_capital(facts[heap.code].likely)}.",)
        return JudgementMark(heap.id, 0.0, full, words, why, missed)
    got = KIND_MARKS * (said.kind == right.kind) + AMOUNT_MARKS * (said.amount == right.amount)
    got += ACTION_MARKS * _action_share(said.action, right.action)
    return JudgementMark(heap.id, got, full, words, tuple(_reasons(heap, said, right)), missed)


def _side(right: Judgement, heap: Heap) -> str:
    if heap.place in BEHIND:
        return "behind the medium, so any of it is too much"
    return "above the limit of the sheet" if right.amount == "above" else "within the limit of the sheet"


def _action_share(said: Action, right: Action) -> float:
    """All for the right action, half for one that is safer than needed, or stops for another reason."""
    if said == right:
        return 1.0
    careful = {"trend": 0, "sample": 1, "ground": 2, "reject": 2, "discard": -1}
    return 0.5 if right != "discard" and careful[said] >= careful[right] else 0.0


def _reasons(heap: Heap, said: Judgement, right: Judgement) -> list[str]:
    facts = sources().kinds
    found = [f"It is {heap.code}: {facts[heap.code].lens}; under the needle: {facts[heap.code].needle}."]
    if said.kind != right.kind and said.kind in facts:
        found.append(f"{said.kind} would show: {facts[said.kind].lens}; {facts[said.kind].needle}.")
    if heap.code == SWARF:
        found.append("It is fresh, and lies on the outside only: our own saw made it.")
    if heap.place in BEHIND:
        found.append("It lies behind the medium: it went past or through it.")
    found.append(f"Likely: {facts[heap.code].likely}. Look next at: {facts[heap.code].look_next}.")
    return found


def _part(part: str, called_bad: bool, evidence: Evidence) -> JudgementMark:
    bad = part in evidence.defects
    right = f"the {part} is {'not ' if bad else ''}sound"
    got = PART_MARKS * (called_bad == bad)
    return JudgementMark(part, got, PART_MARKS, right, (evidence.parts[part],), bad and not called_bad)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
