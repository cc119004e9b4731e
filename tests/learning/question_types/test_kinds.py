"""The further kinds of prompt against a run log made by hand; every expected value is read off its table.

Several answers and orders: the worked numbers of the marking rules stand in tests/learning/scoring; here it
is checked that keys come from the run and that the rules are reached.
"""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
from glasscan.content.unit_words import BY_SUFFIX
from glasscan.learning.answer_text import as_ids, as_points, to_text
from glasscan.learning.facts import holds
from glasscan.learning.prompt_schema import Fact, Prompt
from glasscan.learning.prompts import mark
from glasscan.learning.question_types.log_entry import by_hand
from glasscan.learning.question_types.number_choice import NEVER_TEXT, lines
from glasscan.learning.question_types.point import letters
from glasscan.learning.question_types.slips import slips
from glasscan.learning.run_quantities import read
from glasscan.learning.run_schema import Largest, Push
from glasscan.learning.shuffling import mixed
from glasscan.learning.typed_numbers import typed
from pydantic import TypeAdapter

from tests.learning.handmade import HandLog, shut_log

PROMPT: TypeAdapter[Any] = TypeAdapter(Prompt)
FACT: TypeAdapter[Any] = TypeAdapter(Fact)
LARGEST = {"of": "largest", "trace": "dp_kpa"}
CRACKS = {"fact": "happens", "event": "bypass-cracks"}
GIVEN = {"fact": "given", "holds": True, "source": "common practice, no source"}


def prompt(kind: str, **more: Any) -> Any:
    """A prompt of a kind."""
    return PROMPT.validate_python({"kind": kind, "id": "p", "ask": "?", **more})


@pytest.mark.parametrize(
    ("side", "times", "by", "true"),
    [
        ("above", 1.0, 0.0, True),
        ("above", 1.0, 260.0, False),
        ("below", 1.0, 0.0, False),
        ("below", 3.0, 0.0, True),
    ],
)
def test_comparisons(side: str, times: float, by: float, true: bool) -> None:
    """The largest inlet pressure, 400 kPa, is above the difference, 140 kPa, by 260 and below 420."""
    data = {
        "fact": "compare",
        "quantity": {"of": "largest", "trace": "inlet_kpa"},
        "side": side,
        "than": LARGEST,
    }
    assert holds(FACT.validate_python(data | {"times": times, "by": by}), HandLog()) is true


def test_a_comparison_with_what_never_came_is_false() -> None:
    """A quantity that hangs on an event that stays out compares with nothing."""
    never = {"of": "value-at-event", "trace": "dp_kpa", "event": "indicator-pops"}
    for side in ("above", "below"):
        data = {"fact": "compare", "quantity": LARGEST, "side": side, "than": never}
        assert not holds(FACT.validate_python(data), HandLog())


def test_push_on_a_seat() -> None:
    """12 psi on a seat of 12 mm are 9.36 N (0.08274 N/mm2 x 113.1 mm2, worked by hand)."""
    log = HandLog()
    log.trace["dp_kpa"][:] = 12 * 6.894757
    push = Push.model_validate(
        {"of": "push", "bore_mm": 12, "pressure": {"of": "value-at-end", "trace": "dp_kpa"}}
    )
    reading = read(push, log)
    assert reading.value == pytest.approx(9.36, abs=0.005)
    assert reading.unit
    assert reading.unit.sign == "N"


SEVERAL = {
    "options": [
        {"id": "opened", "text": "it opened", "true_when": [CRACKS], "because": "B1"},
        {"id": "popped", "text": "it popped", "true_when": [{"fact": "happens", "event": "indicator-pops"}]},
        {"id": "cold", "text": "it was cold", "true_when": [GIVEN]},
        {"id": "loosen", "text": "loosen it", "true_when": [{**GIVEN, "holds": False}], "unsafe": True},
    ]
}


@pytest.mark.parametrize(
    ("ticked", "share"),
    [
        (["opened", "cold"], 1.0),
        ("cold, opened", 1.0),
        (["opened"], 0.5),
        (["opened", "popped"], 0.0),
        ([], 0.0),
    ],
)
def test_several_answers(ticked: Any, share: float) -> None:
    """Plus/minus over two keys: hits less false ticks, over two, never below 0."""
    result = mark(prompt("several-answers", marks=2, **SEVERAL), ticked, HandLog())
    assert (result.share, result.marks) == (share, 2 * share)


def test_keys_of_several_answers_move_with_the_run() -> None:
    """In the run where the valve stays shut `it opened` is a wrong tick, and its reason is told."""
    result = mark(prompt("several-answers", **SEVERAL), ["opened", "cold"], shut_log())
    assert (result.share, result.key) == (0.0, "it was cold")
    assert "“it opened” is not true. B1" in result.reason


def test_a_missed_key_is_told() -> None:
    """A key that was not ticked is among the wrongs, with its reason; a right tick is not."""
    result = mark(prompt("several-answers", **SEVERAL), ["cold"], HandLog())
    assert "“it opened” is true, and was not ticked. B1" in result.reason
    assert (result.rights, result.wrongs) == (("it was cold",), ("it opened",))


def test_an_unsafe_tick_is_a_gate() -> None:
    """A tick that would hurt someone takes all marks, however many others are right."""
    result = mark(prompt("several-answers", **SEVERAL), ["opened", "cold", "loosen"], HandLog())
    assert (result.share, result.gates) == (0.0, ("loosen",))


def test_nothing_true_and_nothing_ticked() -> None:
    """Where no option is true, the empty answer is the right one."""
    options = [{"id": f"o{i}", "text": "t", "true_when": [{**GIVEN, "holds": False}]} for i in range(3)]
    item = prompt("several-answers", options=options)
    assert mark(item, [], HandLog()).share == 1.0
    assert mark(item, ["o1"], HandLog()).share == 0.0


POINT = {
    "targets": [{"part": "valve-poppet", "true_when": [CRACKS], "because": "opened"}, {"part": "medium"}],
    "near": [{"part": "valve-spring", "because": "the spring only gives way"}],
}


@pytest.mark.parametrize(("part", "share"), [("valve-poppet", 1.0), ("valve-spring", 0.5), ("shell", 0.0)])
def test_point_at_part(part: str, share: float) -> None:
    """The part earns all, a neighbour half with its reason, any other nothing."""
    assert mark(prompt("point-at-part", **POINT), part, HandLog()).share == share


def test_the_part_asked_for_follows_the_run() -> None:
    """Where the valve stays shut the last target is the key; what is no part at all is refused."""
    item = prompt("point-at-part", **POINT)
    assert mark(item, "medium", shut_log()).share == 1.0
    assert "the spring only gives way" in mark(item, "valve-spring", shut_log()).reason
    with pytest.raises(ValueError, match="expected a part"):
        mark(item, "carburettor", HandLog())


def test_letters_for_parts() -> None:
    """Each part has one letter of its own, the first free one of its name where there is one."""
    assert letters({"a": "seal", "b": "shell", "c": "sh", "d": "hs"}) == {
        "a": "s",
        "b": "h",
        "c": "a",
        "d": "b",
    }
    with pytest.raises(ValueError, match="more parts than letters"):
        letters({str(i): "a" for i in range(27)})


STEPS = [{"id": c, "text": c.upper(), "because": f"why {c}"} for c in "abcd"]
BEFORE = [{"first": "a", "then": "c"}, {"first": "b", "then": "c"}]


@pytest.mark.parametrize(
    ("answer", "share"),
    [("a b c d", 1.0), ("d b a c", 1.0), ("c a b d", 0.75), (["a", "c"], 0.5)],
)
def test_partial_order(answer: Any, share: float) -> None:
    """With a and b before c, and d free, an order that keeps the pairs is right; else longest run."""
    item = prompt("order-the-steps", steps=STEPS, before=BEFORE)
    assert mark(item, answer, HandLog()).share == share


def test_listed_order_and_gate() -> None:
    """Without pairs the list is the order; one step moved keeps 3 of 4, and a critical reversal takes all."""
    item = prompt(
        "order-the-steps", steps=STEPS, critical=[{"first": "c", "then": "d", "because": "it burns"}]
    )
    assert mark(item, "d a b c", HandLog()).share == 0.0
    assert "it burns" in mark(item, "d a b c", HandLog()).gates[0]
    assert mark(item, "b c d a", HandLog()).share == 0.75
    with pytest.raises(ValueError, match="once at most"):
        mark(item, "a a b c", HandLog())


EVENT_STEPS = [
    {"id": "seats", "text": "seats", "event": "bypass-seats"},
    {"id": "pops", "text": "pops", "event": "indicator-pops"},
    {"id": "cracks", "text": "cracks", "event": "bypass-cracks"},
    {"id": "full", "text": "full", "event": "gallery-full"},
]


def test_events_order_themselves() -> None:
    """The run cracks at 4 s, fills at 8 s, seats at 40 s and never pops: a step too many costs."""
    item = prompt("order-the-steps", steps=EVENT_STEPS)
    assert mark(item, "cracks full seats", HandLog()).share == 1.0
    assert mark(item, "cracks full seats pops", HandLog()).share == 0.75
    assert mark(item, "full cracks seats", HandLog()).share == pytest.approx(2 / 3)
    assert mark(item, "full", shut_log()).share == 1.0


CURVE = {"trace": "lift_mm", "to_s": 60, "top": 2.0, "edges_s": [0, 6, 40, 60]}
"""True lift: 0 until 2 s, 0.5 at 4 s, 2.0 at 6 s, 1.0 at 20 s, 0 at 40 s and 60 s."""


@pytest.mark.parametrize(
    ("points", "share"),
    [
        ("0:0 2:0 4:0.5 6:2 20:1 40:0 60:0", 1.0),
        ("0:0 7:1.85 38:0.1 60:0.1", 1.0),  # another shape with the same features
        ("0:0 7:1 40:0 60:0", 0.875),  # half of the peak: right time, wrong height
        ("0:0 30:2 60:0", (1 + 0.5 + 1 / 3 + 1) / 4),  # late peak: only the first stretch goes the right way
        ("0:0 60:0", (1 + 0 + 1 / 3 + 1) / 4),
        ("0:1 6:2 40:1 60:1", (0 + 1 + 1 + 0) / 4),
    ],
)
def test_features_of_a_curve(points: str, share: float) -> None:
    """Start, peak (height and time), direction of each stretch and end count a quarter each."""
    assert mark(prompt("draw-the-curve", marks=1, **CURVE), points, HandLog()).share == pytest.approx(share)


def test_a_flat_run_has_no_time_of_its_peak() -> None:
    """Where the valve never moves, a flat line is right wherever its highest point lies."""
    item = prompt("draw-the-curve", **CURVE)
    assert mark(item, [(0.0, 0.0), (60.0, 0.05)], shut_log()).share == 1.0
    assert mark(item, "0:0 6:2 60:0", shut_log()).share < 1.0


@pytest.mark.parametrize("answer", ["", "0:1", "5:1 4:2", "0:a 1:2", "0:nan 1:2", [(0, 1), (0, 2)], 7])
def test_what_is_no_curve_is_refused(answer: Any) -> None:
    """Fewer than two points, times that do not rise, or no numbers: asked again, not marked."""
    with pytest.raises(ValueError, match="expected"):
        mark(prompt("draw-the-curve", **CURVE), answer, HandLog())


ENTRY = {
    "items": [
        {"id": "dp", "text": "difference", "number": {"quantity": LARGEST, "unit": "kPa", "tol_rel": 0.05}},
        {"id": "leak", "text": "leak check", "words": ["no leak", "no leaks"]},
        {"id": "part", "text": "filter", "words": ["new filter"]},
        {"id": "ref", "text": "release", "words": ["licensed"]},
    ],
    "forbidden": [{"words": ["released to service"], "because": "A trainee may not release."}],
}


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("New filter. Difference 140 kPa. No leaks. To licensed engineer.", 1.0),
        ("NEW  FILTER; 20,3 psi; no leak; licensed", 1.0),
        ("new filter, 140, no leak, licensed", 0.75),  # a number without unit
        ("new filter, 140 mm, no leak, licensed", 0.75),  # a number of another kind
        ("new filter, 160 kPa, leak, licensed", 0.5),
        ("no new filter, 140 kPa, no leaks, not licensed", 0.5),  # denied words do not count
        ("new filter not available, 140 kPa, no leaks, licensed engineer not informed", 0.5),
        ("new filter, indicator not reset, 140 kPa, no leaks, licensed", 1.0),  # a denial of something else
        ("new filters 140 kPa unlicensed no leaks", 0.5),  # parts of words do not count
    ],
)
def test_log_entry(text: str, share: float) -> None:
    """Items found over items asked: whole words, not denied; numbers with a unit of the right kind."""
    result = mark(prompt("log-entry", **ENTRY), text, HandLog())
    assert (result.share, result.by_hand) == (share, True)


def test_forbidden_words_are_a_gate() -> None:
    """An entry that releases the aircraft earns nothing, and says why."""
    text = "New filter. 140 kPa. No leaks. Licensed. Released to service."
    result = mark(prompt("log-entry", **ENTRY), text, HandLog())
    assert (result.share, result.gates) == (0.0, ("A trainee may not release.",))
    assert (
        mark(prompt("log-entry", **ENTRY), text.replace("Released", "Not released"), HandLog()).share == 1.0
    )


def test_the_example_carries_the_numbers_of_the_run() -> None:
    """`{dp}` in the good entry is the 140 kPa of this run; it is told where the entry was not complete."""
    item = prompt("log-entry", **ENTRY, example="New filter, {dp}, no leaks, licensed.")
    said = mark(item, "new filter", HandLog())
    assert "A good entry: New filter, 140 kPa, no leaks, licensed." in said.reason
    assert mark(item, "New filter, 140 kPa, no leaks, licensed.", HandLog()).share == 1.0


def test_a_person_may_mark_an_entry() -> None:
    """A person's mark replaces the machine's, which stays in the reason; other prompts cannot."""
    item = prompt("log-entry", marks=4, **ENTRY)
    result = by_hand(mark(item, "new filter", HandLog()), 0.75, "Ines", "said it in other words")
    assert (result.share, result.marks) == (0.75, 3.0)
    assert "Marked by Ines: said it in other words (by the checklist: 25%)." in result.reason
    for share, who, note in ((1.5, "Ines", "x"), (0.5, "", "x"), (0.5, "Ines", " ")):
        with pytest.raises(ValueError, match="expected"):
            by_hand(result, share, who, note)
    with pytest.raises(ValueError, match="expected a log entry"):
        by_hand(mark(prompt("point-at-part", **POINT), "medium", HandLog()), 1.0, "Ines", "x")


def test_slips_make_the_wrong_numbers() -> None:
    """For 140 kPa asked in psi (20.3), two of: gauges, the kPa unlabelled, other moments; each is named."""
    item = prompt("numeric-choice", quantity=LARGEST, unit="psi", tol_rel=0.05)
    shown = lines(item, HandLog())
    assert [line.text for line in shown if line.right] == ["20.3 psi"]
    for line in shown:
        assert mark(item, line.id, HandLog()).share == float(line.right)
        assert line.right or line.because in mark(item, line.id, HandLog()).reason
    assert all(2.03 < typed(line.text).value < 203.0 for line in shown)


def test_neither_size_nor_the_never_line_tells_the_key() -> None:
    """Over 90 sittings of one question the key is least, middle and greatest; "never" is wrong too."""
    ranks, never = Counter[int](), Counter[bool]()
    for i in range(90):
        log = HandLog()
        for quantity in (LARGEST, {"of": "value-at-event", "trace": "dp_kpa", "event": "bypass-cracks"}):
            shown = lines(prompt("numeric-choice", quantity=quantity, unit="kPa", tol_rel=0.03), log, f"s{i}")
            never[shown[-1].text == NEVER_TEXT] += "event" in quantity
            if quantity is LARGEST:
                ranks[[line.right for line in shown].index(True)] += 1
    assert min(ranks[i] for i in range(3)) >= 18
    assert min(never.values()) >= 25


def test_the_slip_set_of_twelve_psi() -> None:
    """Worked set for a difference of 12 psi (6.894757 kPa each, NIST SP 811): 0.827 and 82.7 unlabelled, 174
    multiplied instead of divided, the sign, the gauge (62 psi here) and the ratio 62/50."""
    log, psi_kpa = HandLog(), 6.894757
    for name, value in (("dp_kpa", 12.0), ("inlet_kpa", 62.0), ("outlet_kpa", 50.0)):
        log.trace[name][:] = value * psi_kpa
    quantity = Largest(of="largest", trace="dp_kpa")
    found = [slip.value for slip in slips(quantity, log, 12.0, BY_SUFFIX["psi"])]
    for value in (0.8274, 82.74, 174.05, -12.0, 62.0, 1.24):
        assert any(x == pytest.approx(value, rel=1e-3) for x in found), value


def test_a_slip_inside_the_tolerance_is_left_out() -> None:
    """With the inlet gauge within twice the tolerance of the key, other slips take its place."""
    log = HandLog()
    log.trace["inlet_kpa"][3] = 150.0
    item = prompt("numeric-choice", quantity=LARGEST, unit="kPa", tol_rel=0.05)
    texts = [line.text for line in lines(item, log)]
    assert "150 kPa" not in texts
    assert len(texts) == len(set(texts)) == 3


def test_numbers_for_an_event_that_never_comes() -> None:
    """The key then says that it does not happen, and stands last, after two readings of the trace."""
    quantity = {"of": "value-at-event", "trace": "dp_kpa", "event": "bypass-cracks"}
    item = prompt("numeric-choice", quantity=quantity, unit="kPa")
    shown = lines(item, shut_log())
    assert [line.right for line in shown] == [False, False, True]
    assert mark(item, shown[2].id, shut_log()).share == 1.0
    with pytest.raises(ValueError, match="expected one of the numbers shown"):
        mark(item, "d", shut_log())


def test_answers_as_text_come_back() -> None:
    """Ids and points survive the way to text and back; what is neither is refused."""
    assert as_ids(to_text(["b", "a"])) == ("b", "a") == as_ids("b > a")
    points = ((0.0, 0.1), (2.5, -3.25))
    assert as_points(to_text(points)) == points
    assert to_text([True, False]) == "open shut"
    with pytest.raises(ValueError, match="expected"):
        as_ids(3)


def test_shuffling_hangs_on_salt_and_word() -> None:
    """The same salt and word give the same order whatever order came in, another salt or word another one."""
    items = list(range(8))
    given = mixed(items, "s", "a", str)
    assert given == mixed(items[::-1], "s", "a", str)
    assert given != mixed(items, "s", "b", str) != mixed(items, "t", "b", str)
    assert sorted(given) == items
    assert mixed(items, "s", "a", str, ("6", "7"))[-2:] == (6, 7)
