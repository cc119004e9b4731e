"""A case as it is played: rules of the table, unsafe acts, score, file, and nothing leaked."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from glasscan.content import BadInput
from glasscan.faults.fault_data import faults
from glasscan.learning.cases.case_files import read, save
from glasscan.learning.cases.case_play import CANNOT_TELL, Case, RefusedError, hidden_of
from glasscan.learning.cases.case_rig import START_MIN
from glasscan.learning.cases.generate import generate
from glasscan.learning.cases.reference import reference_path
from glasscan.learning.cases.scoring import review
from glasscan.learning.cases.text_table import Table, opening
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz.feeding import good_case, one_case
from tests.fuzz.long import many

WORDS = (
    "think",
    "test",
    "start",
    "stop",
    "release",
    "menu",
    "faults",
    "notes",
    "action",
    "log",
    "verdict",
    "",
)
RESTS = ("", "F06", "f12, F01", "read-log", "second-gauge", "cut-open", "bubble-test", "cannot-tell", "F99")


def runnable_seed() -> int:
    """A seed whose rig may be run, and whose complaint alone does not tell the fault."""
    cases = ((seed, hidden_of(seed, "can")) for seed in range(50))
    return next(seed for seed, case in cases if case.runnable and len(reference_path(case, 2).steps) > 1)


def dead_seed() -> int:
    """A seed whose rig must not be run."""
    return next(seed for seed in range(200) if not hidden_of(seed, "can").runnable)


@pytest.fixture
def case() -> Case:
    """A fresh case that may be run."""
    return Case.begin(runnable_seed(), "can", 2)


def played(seed: int, kind: str = "can") -> Case:
    """A case played along the reference path with a hypothesis before every test."""
    case, hidden = Case.begin(seed, kind, 2), generate(seed, kind)
    path = reference_path(hidden, 2)
    for step in path.steps:
        case.think(["F06"])
        needs = case.menu[step.test].needs
        if needs == "running" and not case.running:
            case.act("start")
        if needs in ("stopped", "open") and case.running:
            case.act("stop")
        if needs == "open" and case.trapped:
            case.act("release")
        assert case.order(step.test) == step.result
    case.decide(path.verdict or CANNOT_TELL, "per the manual", "entry")
    return case


def test_the_reference_path_scores_full() -> None:
    """Right, at the reference's cost, hypotheses named, stopped in time: 1.0 by the rules' own sum."""
    seed = next(
        s
        for s in range(50)
        if (h := generate(s, "can")).fault.fault == reference_path(h, 2).verdict
        and reference_path(h, 2).steps
    )
    told = review(played(seed))
    assert told.kept
    assert told.score.score == pytest.approx(1.0)
    assert [step.test for step in told.own] == [step.test for step in told.reference.steps]


def test_a_wrong_verdict_loses_half(case: Case) -> None:
    """Named wrong without a test: nothing for the fault, nothing for stopping."""
    fault = hidden_of(case.seed, case.kind).fault.fault
    case.think(["F06"])
    case.order("read-log")
    case.decide(next(code for code in case.suspects if code[:3] != fault[:3]))
    assert review(case).score.parts["correct"] == 0.0


def test_no_test_without_a_hypothesis(case: Case) -> None:
    """The first test is refused until something is held possible."""
    with pytest.raises(RefusedError, match="hypothesis"):
        case.order("read-log")
    case.think(["F06", "bypass-stuck-shut"])
    assert len(case.order("read-log")) == len(case.menu["read-log"].reads)


def test_a_fault_named_often_is_noted_once(case: Case, tmp_path: Path) -> None:
    """A hundred times the same code: one word in the record, and the file can be read."""
    case.think(["F06"] * 100)
    assert case.entries[0].words == ("F06",)
    save(case, tmp_path / "case.json")
    assert read(tmp_path / "case.json") == case


def test_state_of_the_rig_is_asked_for(case: Case) -> None:
    """Running tests want a running engine, looking wants a stopped one."""
    case.think(["F06"])
    with pytest.raises(RefusedError, match="start"):
        case.order("pressure-pattern")
    case.act("start")
    with pytest.raises(RefusedError, match="stop"):
        case.order("look-and-smell")
    assert case.cost_min == START_MIN


@pytest.mark.parametrize(
    ("acts", "reason"),
    [((), "pressure"), (("start",), "running"), (("start", "stop"), "pressure")],
)
def test_opening_at_the_wrong_time_ends_the_case(case: Case, acts: tuple[str, ...], reason: str) -> None:
    """Opened running or under pressure: the case stops with the reason, and the score is nought."""
    case.think(["F06"])
    for act in acts:
        case.act(act)
    assert case.order("cut-open") == ()
    assert reason in case.ended
    told = review(case)
    assert told.score.score == 0.0
    assert told.score.gates == case.unsafe
    with pytest.raises(RefusedError, match="over"):
        case.order("read-log")


def test_released_it_may_be_opened(case: Case) -> None:
    """Stopped and released: no gate."""
    case.think(["F06"])
    case.act("release")
    assert case.order("cut-open")
    with pytest.raises(RefusedError, match="cut up"):
        case.order("bubble-test")
    assert case.unsafe == ()


def test_starting_without_pressure_ends_the_case() -> None:
    """What was noted forbids a run: the start itself is the unsafe act."""
    case = Case.begin(dead_seed(), "can", 2)
    case.act("start")
    assert case.unsafe
    assert "pressure" in case.ended


def test_loosening_a_running_engine_ends_the_case(case: Case) -> None:
    """Release while running is unsafe."""
    case.act("start")
    case.act("release")
    assert case.unsafe


def test_a_swap_without_a_reason_costs(case: Case) -> None:
    """Filter swapped while only the gauge is suspected: a tenth; with a filter fault in mind: nothing."""
    other = Case.begin(case.seed, "can", 2)
    for player, thought in ((case, "F35a"), (other, "F06")):
        player.think([thought])
        player.act("release")
        player.order("swap-filter")
        player.decide(CANNOT_TELL)
    assert review(case).score.parts["swaps"] == pytest.approx(-0.1)
    assert review(other).score.parts["swaps"] == 0.0


def test_saved_and_read_it_is_the_same(case: Case, tmp_path: Path) -> None:
    """A round trip gives an equal case that goes on with equal results."""
    case.think(["F06"])
    case.order("read-log")
    save(case, tmp_path / "case.json")
    again = read(tmp_path / "case.json")
    assert again == case
    case.act("start")
    again.act("start")
    assert case.order("pressure-pattern") == again.order("pressure-pattern")


@pytest.mark.parametrize("level", [1, 2, 3])
@pytest.mark.parametrize("seed", range(5))
def test_nothing_tells_the_fault_before_the_verdict(seed: int, level: int, tmp_path: Path) -> None:
    """Neither file nor table carries code, word, title, severity or an unsalted digest of the fault."""
    case = Case.begin(seed, "can", level)
    hidden = case.hidden
    case.think([case.suspects[0]])
    case.order("read-log")
    save(case, tmp_path / "case.json")
    text = (tmp_path / "case.json").read_text(encoding="utf-8") + "\n".join(opening(case))
    secrets = [str(size) for _, size in hidden.ill] + [size.hex() for _, size in hidden.ill]
    for fault, _ in hidden.ill:
        secrets += [fault.word, fault.title, *([] if fault.fault == case.suspects[0] else [fault.fault])]
    assert not [secret for secret in secrets if secret in text]
    with pytest.raises(RefusedError, match="not over"):
        review(case)


def test_two_beginnings_have_two_seals() -> None:
    """The salt differs, so equal seals never tell equal faults."""
    assert Case.begin(3, "can", 2).seal != Case.begin(3, "can", 2).seal


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"seed": 2_000}, "seal"),
        ({"seal": "0" * 64}, "seal"),
        ({"level": 7}, "level"),
        ({"level": 1}, "seal"),
        ({"kind": "disc"}, "seal"),
        ({"format": "something else"}, "format"),
        ({"entries": [{"what": "test", "words": ["read-log"], "result": [0.5, 0.5, 0.5]}]}, "entries"),
        ({"entries": [{"what": "test", "words": ["no-such"], "result": []}]}, "entries"),
        ({"extra": 1}, "extra"),
    ],
)
def test_a_changed_file_is_refused(case: Case, tmp_path: Path, change: dict, word: str) -> None:
    """Altered seed, seal, result or shape: one line that names the place."""
    path = tmp_path / "case.json"
    save(case, path)
    path.write_text(json.dumps(json.loads(path.read_text(encoding="utf-8")) | change), encoding="utf-8")
    with pytest.raises(BadInput) as bad:
        read(path)
    assert len(bad.value.lines) == 1
    assert word in bad.value.lines[0]


def refusal(path: Path) -> str | None:
    """The one line with which a file is refused; None where it is read."""
    try:
        read(path)
    except BadInput as bad:
        (line,) = bad.lines
        return str(line)
    return None


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_no_damage_breaks_the_reader(tmp_path: Path, data: st.DataObject) -> None:
    """Bytes changed, cut or doubled anywhere: the same case again, or one line of bad input."""
    path = tmp_path / "case.json"
    case = Case.begin(runnable_seed(), "can", 2)
    case.think(["F06"])
    case.order("read-log")
    save(case, path)
    raw = bytearray(path.read_bytes())
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(raw) - 1))
        raw[at : at + data.draw(st.integers(0, 12))] = data.draw(st.binary(max_size=6))
    path.write_bytes(bytes(raw))
    assert refusal(path) is None or "\n" not in refusal(path)


def test_damaged_cases_go_on_or_are_refused_in_one_line() -> None:
    """40 damaged files of a case under way or over: played on and told with its score, or one line."""
    assert many(one_case, 40)["refused in one line"] > 20


@pytest.mark.parametrize(
    ("place", "entry", "told"),
    [
        (0, {"what": "hypothesis", "words": ["F99"]}, "suspects of this case"),
        (0, {"what": "verdict", "words": ["x"]}, "suspects of this case"),
        (99, {"what": "verdict", "words": ["F06"]}, "each test and the verdict once"),
        (0, {"what": "act", "words": ["fly"]}, "one of start, stop, release"),
    ],
)
def test_a_record_that_nobody_could_have_played_is_refused(
    tmp_path: Path, place: int, entry: dict, told: str
) -> None:
    """A strange suspect would break the telling of the score; a second verdict would hide the first."""
    tree = json.loads(good_case(over=True))
    tree["entries"].insert(place, entry)
    path = tmp_path / "case.json"
    path.write_text(json.dumps(tree), encoding="utf-8")
    assert told in (refusal(path) or "")


def test_a_case_is_over_when_its_record_says_so(tmp_path: Path) -> None:
    """A verdict struck out of `ended` alone does not open the case again for a second one."""
    path = tmp_path / "case.json"
    path.write_text(json.dumps(json.loads(good_case(over=True)) | {"ended": None}), encoding="utf-8")
    assert "ended: expected" in (refusal(path) or "")


@pytest.mark.parametrize("raw", [b"", b"{", b"\xff\xfe", b"[]", b"null"])
def test_a_damaged_file_is_refused(tmp_path: Path, raw: bytes) -> None:
    """No JSON, or not a case: bad input, never a traceback."""
    path = tmp_path / "case.json"
    path.write_bytes(raw)
    with pytest.raises(BadInput):
        read(path)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(st.sampled_from(WORDS), st.sampled_from(RESTS) | st.text(max_size=8)), max_size=8))
def test_no_line_breaks_the_table(tmp_path: Path, lines: list[tuple[str, str]]) -> None:
    """Any words in any order: answers in lines, and a case that can still be saved and read."""
    table = Table(Case.begin(runnable_seed(), "can", 2))
    for word, rest in lines:
        if word != "save":
            assert all(isinstance(line, str) for line in table.say(f"{word} {rest}"))
    save(table.case, tmp_path / "case.json")
    assert read(tmp_path / "case.json") == table.case


@pytest.mark.parametrize("name", ["", "a-file/x.json", "bad\0name", "."])
def test_a_bad_name_loses_nothing(
    case: Case, name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A case that cannot be saved under a name says so and goes on; nothing is left lying about."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a-file").write_text("not a folder")
    table = Table(case)
    assert table.say(f"save {name}")
    assert not case.ended
    assert [p.name for p in tmp_path.rglob("*")] == ["a-file"]


def test_the_table_plays_a_case() -> None:
    """Typed lines from hypothesis to verdict; the fault is told only at the end."""
    table = Table(Case.begin(runnable_seed(), "can", 1))
    fault = hidden_of(table.case.seed, "can").fault
    said = [
        *table.say(f"think {table.case.suspects[0]}"),
        *table.say("test read-log"),
        *table.say("nonsense"),
        *table.say(""),
    ]
    assert fault.title not in "\n".join(said)
    assert "the results speak for" in "\n".join(said)
    end = "\n".join(table.say(f"verdict {fault.fault}"))
    assert fault.title in end
    assert faults()[fault.fault].safety in end
    assert table.case.ended == "verdict"
