"""From results files to a page: the published 10 by 10 table goes in, its figures come out on paper."""

from __future__ import annotations

import csv
import io
import time
from html.parser import HTMLParser

import numpy as np
import pytest
from glasscan.learning.store.results_files import Item, Results, StoredMark
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.reports.classroom.gathering import gather
from glasscan.reports.classroom.printing import class_page, items_csv, people_csv
from glasscan.reports.classroom.report import ClassReport, class_report
from glasscan.reports.html_pages import TEACHING_LINE

from tests.reports.classroom.test_reliability import SIX, TEN

BAD = "<script>alert(1)</script>\"'&"


def one(
    name: str, scores: list[float], number: int = 0, ended: str = "2031-03-01", **more: object
) -> Results:
    """Results of one person: question n has the key `a`; a right answer is `a`, a wrong one `b`."""
    items = tuple(
        Item(prompt=f"q{i}", given="a" if s == 1 else "b", mark=StoredMark(share=s, out_of=1.0, key="a"))
        for i, s in enumerate(scores, 1)
    )
    fields = {"paper": "cold-start", "seed": 1, "kind": "exam", "begun_utc": "2031", "items": items, **more}
    uid = f"{number:032x}"
    return Results(origin=uid, sitting=uid, nickname=name, ended_utc=ended, **fields)


def a_class(table: np.ndarray) -> list[Results]:
    """A class of invented people."""
    return [one(f"person {i}", row.tolist(), i) for i, row in enumerate(table)]


@pytest.fixture
def report() -> ClassReport:
    """The class of the published table."""
    return class_report(gather(a_class(TEN)), {"q1": ("a", "b", "c")})


def test_twenty_people_who_share_no_question_are_gathered_quickly() -> None:
    """The most that files may hold: 20 of 2000 questions, none alike; a column is found without a search.

    Searching the list of 40,000 for each answer took ten times as long.
    """
    people = []
    for n in range(20):
        full = one(f"person {n}", [1.0] * 2000, n)
        items = tuple(item.model_copy(update={"prompt": f"{n}/{item.prompt}"}) for item in full.items)
        people.append(full.model_copy(update={"items": items}))
    start = time.process_time()
    table = gather(people)
    assert time.process_time() - start < 2.5
    assert table.shares.shape == (20, 40_000)
    assert table.shares.sum() == 40_000


class Reader(HTMLParser):
    """Counts what a page holds."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.open: list[str] = []
        self.outside: list[str] = []
        self.text: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag, and anything that would load from elsewhere."""
        self.tags.append(tag)
        self.outside += [v or "" for k, v in attrs if k in {"src", "href", "action"} or k.startswith("on")]
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Tags close in order."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Note the text."""
        self.text.append(data)


def test_published_figures_through_the_files(report: ClassReport) -> None:
    """KR-20 .696, KR-21 .684, alpha as KR-20, SEM 1.33, item 1 .79/.71, items 7 and 9 under suspicion."""
    assert report.kr20 == pytest.approx(0.6963, abs=5e-5)
    assert report.alpha == pytest.approx(report.kr20)
    assert report.sem == pytest.approx(1.332, abs=5e-4)
    assert (report.doubled, report.longer) == pytest.approx((0.8210, 1.744), abs=1e-3)
    assert report.items[0].corrected == pytest.approx(0.7059, abs=5e-5)
    assert [row.prompt for row in report.items if row.label == "check the key"] == ["q7", "q9"]
    assert [line[:3] for line in report.warnings if line.endswith("check the key.")] == ["q7:", "q9:"]
    assert sum(report.passed) == 4  # totals 8, 9, 8, 9 of 10 are 75 % or more


def test_page(report: ClassReport) -> None:
    """One whole page: heading, figures, two pictures inside, the teaching-only line, nothing from outside."""
    text = class_page(report, made="1 March 2031, seed 1")
    page = Reader(text)
    said = " ".join(page.text)
    assert (page.open, page.outside, page.tags.count("svg"), page.tags.count("h1")) == ([], [], 2, 1)
    assert page.tags.count("figcaption") == 2
    assert "size: A4" in text
    assert "size: Letter" in class_page(report, paper="Letter")
    for words in (TEACHING_LINE, "0.696", "0.684", "1.33", "−0.12", "check the key", "1 March 2031"):
        assert words in said
    assert "Only 10 takers, fewer than 30: the figures are a hint only." in said


def test_everything_is_escaped() -> None:
    """Nicknames, prompts, choices and answers cannot act as HTML."""
    items = (Item(prompt=BAD, given=BAD, confidence=1, mark=StoredMark(share=1.0, out_of=1.0, key=BAD)),)
    results = [one(BAD[:40], [], i, items=items, paper=BAD) for i in range(2)]
    text = class_page(class_report(gather(results), {BAD: (BAD, "b")}), made=BAD)
    page = Reader(text)
    assert "script" not in page.tags
    assert "<script" not in text
    assert "".join(page.text).count(BAD) >= 4


def test_no_variance_is_a_dash() -> None:
    """A class where all were right has dashes, no figure of 0 and no warning about keys."""
    report = class_report(gather(a_class(np.ones((4, 3)))))
    assert (report.kr20, report.alpha, report.sem, report.longer) == (None,) * 4
    text = class_page(report)
    assert text.count('<td class="n">–</td>') == 6 + 3 * 3
    assert "check the key" not in text


def test_small_class_warning_ends_at_30() -> None:
    """29 takers are warned of, 30 are not."""
    warned = [
        any("takers" in line for line in class_report(gather(a_class(np.tile(SIX, (5, 1))[:n]))).warnings)
        for n in (29, 30)
    ]
    assert warned == [True, False]


def test_unused_choice_is_told(report: ClassReport) -> None:
    """Nobody took c in question 1."""
    assert "q1: fewer than 5 % took c: it does not work as a wrong choice." in report.warnings
    assert [one.share for one in report.items[0].choices] == pytest.approx([0.7, 0.3, 0.0])


def test_part_marks_have_alpha_only() -> None:
    """With half marks there is alpha, and dashes for the Kuder-Richardson figures."""
    report = class_report(gather(a_class(np.array([[1, 0.5], [0.5, 0.5], [0, 0]]))))
    assert (report.kr20, report.kr21) == (None, None)
    assert report.alpha == pytest.approx(2 * (1 - (1 / 6 + 1 / 18) / (np.var([1.5, 1.0, 0.0]))))


def test_missing_answers_count_as_nothing_and_are_told() -> None:
    """Who left a question out has 0 there, and the table says how many did."""
    table = gather([one("a", [1, 1], 1), one("b", [1], 2)])
    report = class_report(table)
    assert table.shares.tolist() == [[1, 1], [1, 0]]
    assert [row.not_given for row in report.items] == [0, 1]


def test_questions_keep_their_order() -> None:
    """Questions stand in the order in which they were first met."""
    items = one("b", [1, 1, 1], 2).items
    kept = gather([one("a", [1, 1], 1), one("b", [], 2, items=(items[0], items[2]))])
    assert kept.prompts == ("q1", "q2", "q3")


def test_the_last_sitting_counts() -> None:
    """Of two sittings of one person the later counts; the same nickname elsewhere is another person."""
    early, late = one("Wen", [0, 0], 1, "2031-03-01"), one("wen", [1, 1], 1, "2031-03-02")
    other = one("Wen", [0, 1], 2)
    table = gather([late, other, early])
    assert sorted(table.totals.tolist()) == [0.5, 1.0]


def test_weights_of_questions() -> None:
    """The score follows the full marks of the questions."""
    items = tuple(
        Item(prompt=f"q{i}", given="a", mark=StoredMark(share=s, out_of=o, key="a"))
        for i, (s, o) in enumerate([(1.0, 3.0), (0.0, 1.0)])
    )
    assert gather([one("a", [], 1, items=items)]).totals.tolist() == [0.75]


def test_refuses() -> None:
    """Two papers, none, or an answer without a mark are one line."""
    with pytest.raises(StoreProblem, match="found cold-start, other"):
        gather([one("a", [1], 1), one("b", [1], 2, paper="other")])
    with pytest.raises(StoreProblem, match="found none"):
        gather([])
    with pytest.raises(StoreProblem, match="not marked yet"):
        gather([one("a", [], 1, items=(Item(prompt="q", given="a"),))])


def test_tables(report: ClassReport) -> None:
    """The CSV tables are read back with the published figures; no variance is an empty cell."""
    rows = list(csv.DictReader(io.StringIO(items_csv(report), newline="")))
    assert [row["facility"] for row in rows][:3] == ["0.7000", "0.7000", "0.6000"]
    assert (rows[0]["point-biserial"], rows[0]["corrected"]) == ("0.7946", "0.7059")
    people = list(csv.DictReader(io.StringIO(people_csv(report), newline="")))
    assert (people[0]["nickname"], people[0]["score"], people[0]["score reached"]) == (
        "person 0",
        "0.8000",
        "yes",
    )
    same = class_report(gather(a_class(np.ones((4, 3)))))
    assert {row["corrected"] for row in csv.DictReader(io.StringIO(items_csv(same), newline=""))} == {""}


def test_confidence_of_the_class() -> None:
    """Confidence is shown in odds, and only where it was asked."""
    items = (Item(prompt="q", given="a", confidence=3, mark=StoredMark(share=1.0, out_of=1.0, key="a")),)
    report = class_report(gather([one("a", [], 1, items=items)]))
    assert [(row.answers, row.right) for row in report.calibration] == [(0, 0), (0, 0), (1, 1)]
    assert "4 to 1 or better" in class_page(report)
    assert "to 1" not in class_page(class_report(gather(a_class(SIX))))
