"""Damaged files of every kind that people hand in: results, saved cases, exam papers, seals.

`python -m tests.fuzz.long results 5000`, or `cases`, `papers`, `seals`. Each file is a good one with bytes
changed, cut and doubled, values of other types, huge numbers, deep nesting, another version or another
encoding. It must be read, and then be of use, or be refused in one line with the project's own kind of error.
"""

from __future__ import annotations

import json
import random
import tempfile
import time
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from glasscan.cli.classroom import Batch, class_files, report_of
from glasscan.content import BadInput
from glasscan.learning.cases.case_files import read, save
from glasscan.learning.cases.case_play import Case, RefusedError
from glasscan.learning.cases.debrief import debrief
from glasscan.learning.cases.text_table import Table, opening
from glasscan.learning.exam.answer_codec import read_line, shown_lines
from glasscan.learning.exam.exam_sitting import TimeIsUp, begin
from glasscan.learning.exam.paper import Paper, Sources, paper_text, read_questions, read_sources
from glasscan.learning.exam.paper_marking import Keyed, judge, keyed
from glasscan.learning.exam.readings_table import table_lines
from glasscan.learning.seals import start_word
from glasscan.learning.seals.seal_problems import SealProblem
from glasscan.learning.store.results_files import (
    Item,
    Loaded,
    Results,
    StoredMark,
    file_text,
    import_results,
    load_results,
)
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem

from tests.learning.exam.exampaper import FullLog, small_paper

LONGEST_S = 5.0  # no file may take longer, on a busy machine too
LONGEST_LINE = 1200  # characters of a refusal, the path in it
PHRASE = "lapwing over wet grass"
UID = "0123456789abcdef" * 2
ODD_VALUES: tuple[Any, ...] = (
    None, True, False, 0, -1, 1, 2, 10**30, -(2**63), 2**63, 1e308, -0.0, float("nan"), float("inf"),
    "", "x", "nan", "a\nb", "\x00", "\x1b[2J", "\u202e", "é" * 50, "x" * 5000, "9" * 400, [], {}, [[]],
    [None], ["x"], {"x": 1}, {"a\nb" * 50: 1}, 99, "2", 0.5, "none", "F01", "F99", "2031-13-45",
)  # fmt: skip
ODD_KEYS = ("", "x", "a\nb", "\x1b[2J", "k" * 50_000, "\u202e", "é")
SPICE = (b"", b"\x00", b"\xff", b"\xef\xbb\xbf", b"NaN", b"1e999", b"[" * 300, b'{"a":' * 300, b"\\ud800")
SPICE += (b"9" * 60, b"\n", b'"', b",", b"null", b"-", b"}", b"]", b"\\u0000", b"1", b"2", b"0.5")


def damaged(good: str, dice: random.Random) -> bytes:
    """A text damaged as one value, as bytes, as lines, or as a whole."""
    way = dice.choice([_values, _values, _values, _bytes, _bytes, _lines, _coded])
    return way(good, dice)


def _values(good: str, dice: random.Random) -> bytes:
    """One to three values replaced, doubled, dropped or swapped; the rest is whole JSON."""
    tree = json.loads(good)
    for _ in range(dice.randint(1, 3)):
        here, key = _somewhere(tree, dice)
        act = dice.randrange(6)
        if act == 0:
            del here[key]
        elif act == 1 and isinstance(here, list):
            here.insert(key, here[key])
        elif act == 2:
            here[key] = _somewhere(tree, dice)[0]
        elif act == 3 and isinstance(here, dict):
            here[dice.choice(ODD_KEYS)] = dice.choice(ODD_VALUES)
        else:
            here[key] = dice.choice(ODD_VALUES)
        tree = json.loads(json.dumps(tree)) if act != 2 else _cut_loops(tree, good)
    return json.dumps(tree, ensure_ascii=dice.random() < 0.5).encode("utf-8", "surrogatepass")


def _cut_loops(tree: Any, good: str) -> Any:
    try:
        return json.loads(json.dumps(tree))
    except ValueError:  # a value put into itself
        return json.loads(good)


def _somewhere(tree: Any, dice: random.Random) -> tuple[Any, Any]:
    here = tree
    while True:
        if not here:
            here = tree
        if not here:
            tree["x"] = 1
            return tree, "x"
        key = dice.choice(list(here) if isinstance(here, dict) else range(len(here)))
        if not isinstance(here[key], dict | list) or not here[key] or dice.random() < 0.15:
            return here, key
        here = here[key]


def _bytes(good: str, dice: random.Random) -> bytes:
    raw = bytearray(good.encode())
    for _ in range(dice.randint(1, 4)):
        at = dice.randrange(len(raw) + 1)
        to = at + dice.choice([0, 1, 1, 5, 40, len(raw)])
        raw[at:to] = dice.choice([*SPICE, dice.randbytes(2), bytes(raw[at:to]) * 2])
    return bytes(raw)


def _lines(good: str, dice: random.Random) -> bytes:
    lines = good.split("\n")
    for _ in range(dice.randint(1, 3)):
        at = dice.randrange(len(lines))
        lines[at : at + 1] = dice.choice([[], [lines[at]] * 2, [lines[at]] * 50, lines[at : at + 9] * 2])
        lines = lines or [""]
    return "\n".join(lines).encode()


def _coded(good: str, dice: random.Random) -> bytes:
    whole = [good.encode(code) for code in ("utf-16", "utf-8-sig", "utf-32-le", "cp037")]
    deep = b"[" * 200_000 + b"]" * 200_000
    return dice.choice([*whole, b"", b"\n", b"null", b"[]", b"{}", deep, good.encode() * 2, b"\x00" * 9000])


def tried(act: Callable[[], str]) -> str:
    """What came of it: refused in one line within the time, or the word of the act."""
    start = time.perf_counter()
    try:
        word = act()
    except (BadInput, StoreProblem, SealProblem) as refused:
        word = "refused in one line"
        told = str(refused)
        assert told.isprintable(), f"no one line: {told[:200]!r}"
        assert 0 < len(told) <= LONGEST_LINE, f"a line of {len(told)} characters"
    assert time.perf_counter() - start < LONGEST_S, "too slow"
    return word


@cache
def folder() -> Path:
    """A scratch folder of this process, gone with it."""
    _kept.append(tempfile.TemporaryDirectory(prefix="glasscan-fuzz-"))
    return Path(_kept[-1].name)


_kept: list[tempfile.TemporaryDirectory[str]] = []


def _written(raw: bytes) -> Path:
    path = folder() / "handed-in.json"
    path.write_bytes(raw)
    return path


@cache
def good_results() -> str:
    """A marked results file of the small paper."""
    items = (
        Item(
            prompt="oil-morning/at-four",
            given="12 kPa",
            confidence=2,
            spent_s=9.5,
            mark=StoredMark(share=1.0, out_of=2.0, key="12 kPa", codes=("16.3",)),
        ),
        Item(
            prompt="oil-morning/who",
            given="cracked",
            mark=StoredMark(share=0.5, out_of=1.0, key="x", gates=("g",)),
        ),
    )
    begun, ended = "2031-03-01T09:00:00+00:00", "2031-03-01T09:05:00+00:00"
    return file_text(
        Results(
            origin=UID,
            sitting=UID[::-1],
            nickname="Wen",
            kind="practice",  # marks of an exam that another computer gave are not read
            paper="week-3",
            digest=small()[0].digest,
            seed=1,
            begun_utc=begun,
            ended_utc=ended,
            items=items,
        )
    )


@cache
def small() -> tuple[Paper, Sources]:
    """The small paper with its sources."""
    return small_paper(folder())


@cache
def questions() -> dict[str, Keyed]:
    """Keys of the small paper."""
    return keyed(small()[1], lambda _: FullLog())


def one_results(number: int) -> str:
    """Read damaged results; what is read is marked, entered in a store, and put in a class report."""
    raw = damaged(good_results(), random.Random(number))
    return tried(lambda: _used_results(_written(raw)))


def _used_results(path: Path) -> str:
    loaded = load_results(path)
    with Store(folder() / "import.sqlite3") as store:
        import_results(store, loaded.results)
        assert store.clock_note() is None, "clocks of other computers"
    other = load_results(_second())
    report = report_of(Batch(((path, loaded), (path, other)), 0), None) if _marked(loaded) else None
    if report:
        assert all(class_files(report, Batch(((path, loaded), (path, other)), 0)).values())
    judge(loaded.results, small()[1], questions())
    return "read and marked"


def _marked(loaded: Loaded) -> bool:
    items = loaded.results.items
    return loaded.results.paper == "week-3" and bool(items) and all(item.mark for item in items)


def _second() -> Path:
    path = folder() / "second.json"
    if not path.exists():
        path.write_text(good_results().replace("Wen", "Priya").replace(UID[::-1], UID))
    return path


@cache
def good_case(over: bool) -> str:
    """A case with a test and help, played to its verdict or not."""
    case = Case.begin(7, "can", 2)
    case.think(["F06", "F01"])
    case.order("read-log")
    case.act("release")
    case.order("swap-filter")
    case.helped("hint-1")
    case.act("start")
    case.act("stop")
    if over:
        case.decide("F06", "change the element", "element changed")
    path = folder() / "good-case.json"
    save(case, path)
    return path.read_text(encoding="utf-8")


def one_case(number: int) -> str:
    """Read a damaged case; what is read goes on at the table, or is told with its score if it is over."""
    raw = damaged(good_case(number % 2 == 0), random.Random(number))
    return tried(lambda: _used_case(_written(raw)))


def _used_case(path: Path) -> str:
    case = read(path)
    assert all(isinstance(line, str) for line in opening(case))
    if case.ended:
        told = debrief(case)
        assert 0.0 <= told.review.score.score <= 1.0
        return "read and told"
    table = Table(case)
    for line in ("think F01", "start", "test read-log", "stop", "verdict F01"):
        table.say(line)
    try:
        debrief(table.case)
    except RefusedError:
        return "read and gone on with"
    return "read and decided"


@cache
def good_paper() -> str:
    """The small paper, not sealed."""
    return paper_text(small()[1])


def one_paper(number: int) -> str:
    """Read both parts of a damaged paper; what is read is shown and sat."""
    raw = damaged(good_paper(), random.Random(number))
    path = _written(raw)
    word = tried(lambda: _sat(path))
    tried(lambda: read_sources(path, _no_key).paper)
    return word


def _no_key() -> Any:
    raise BadInput(["no key is at hand"])


def _sat(path: Path) -> str:
    paper = read_questions(path, lambda: PHRASE).paper
    assert paper.marks >= 0.0
    for section in paper.sections:
        assert isinstance(table_lines(section.readings), list)
    with Store(folder() / "sat.sqlite3") as store:
        exam = begin(store, store.person("Wen"), paper)
        assert 0.0 <= exam.left_s <= paper.limit_s
        for question in paper.questions:
            assert next(s for s in paper.sections if s.scenario == question.section)
            assert shown_lines(question.asked)
            _answered(exam.give, question)
        exam.hand_in()
    return "read and sat"


def _answered(give: Callable[..., str], question: Any) -> None:
    for line in ("a", "12", "o s", "a b", "0:0 5:5", "think F01", "none", "é"):
        try:
            read_line(question.asked, line)
            give(question, line, 1.0)
        except (ValueError, TimeIsUp):
            continue


@cache
def good_seal() -> str:
    """A sealed text."""
    return start_word.lock(b"the questions" * 20, PHRASE, "questions")


def one_seal(number: int) -> str:
    """Open a damaged seal: the whole text or one line; never another text."""
    dice = random.Random(number)
    text = damaged(good_seal(), dice).decode("utf-8", "replace")

    def opened() -> str:
        found = start_word.unlock(text, PHRASE, "questions")
        assert found == b"the questions" * 20, "another text"
        return "opened, whole"

    return tried(opened)
