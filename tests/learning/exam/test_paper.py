"""Papers as files: sealed, not sealed, damaged, and what the sitting side can see."""

from __future__ import annotations

import base64
import json
import zlib
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey
from glasscan.content import BadInput
from glasscan.learning.exam import paper as papers
from glasscan.learning.exam.paper import paper_text, read_questions, read_sources
from glasscan.learning.seals.instructor_key import PrivateKey
from glasscan.learning.seals.seal_problems import SealProblem
from glasscan.learning.seals.start_word import unlock

from tests.learning.exam.exampaper import small_paper

WORD = "tulo-meva-kiru"
KEY = PrivateKey(X25519PrivateKey.from_private_bytes(bytes(range(32))))
OTHER = PrivateKey(X25519PrivateKey.from_private_bytes(bytes(range(1, 33))))
KEY_WORDS = ("true_when", "bypass-cracks", "quantity", "tol_rel", "Cold oil is thick", "inlet minus outlet")
"""Words of the scenario from which a key could be worked out, or that stand in a reason."""


@pytest.fixture
def sealed(tmp_path: Path) -> Path:
    """A sealed paper."""
    path = tmp_path / "sealed.json"
    path.write_text(paper_text(small_paper(tmp_path)[1], KEY.public, WORD), encoding="utf-8")
    return path


@pytest.fixture
def plain(tmp_path: Path) -> Path:
    """A paper that is not sealed."""
    path = tmp_path / "plain.json"
    path.write_text(paper_text(small_paper(tmp_path)[1]), encoding="utf-8")
    return path


def never() -> Any:
    """Fails where a secret is asked for without need."""
    raise AssertionError("no secret is needed")


def test_both_parts_come_back(tmp_path: Path, sealed: Path, plain: Path) -> None:
    """Questions and sources read from a file are those that were written."""
    paper, sources = small_paper(tmp_path)
    assert read_questions(plain, never).paper == paper == read_questions(sealed, lambda: WORD).paper
    assert read_sources(plain, never) == sources == read_sources(sealed, lambda: KEY)
    assert (paper.marks, paper.limit_s, len(paper.questions)) == (3.0, 60.0, 2)


def test_the_start_word_opens_no_sources_and_the_key_no_questions(sealed: Path) -> None:
    """Two secrets: the sources are a box for the private key alone, and name no word that opens them."""
    whole = json.loads(sealed.read_text())
    with pytest.raises(SealProblem):
        unlock(whole["sources"], WORD, "sources")
    with pytest.raises(BadInput, match="another instructor"):
        read_sources(sealed, lambda: OTHER)
    assert read_questions(sealed, lambda: WORD).instructor == KEY.public


def test_parts_of_two_papers_do_not_go_together(tmp_path: Path, sealed: Path) -> None:
    """Sources, digest or instructor of another paper in the file: opened neither by word nor by key."""
    other = paper_text(small_paper(tmp_path, 2)[1], KEY.public, WORD)
    mine, theirs = json.loads(sealed.read_text()), json.loads(other)
    for part in ("sources", "digest", "questions"):
        sealed.write_text(json.dumps(mine | {part: theirs[part]}))
        with pytest.raises(BadInput):
            read_questions(sealed, lambda: WORD) and read_sources(sealed, lambda: KEY)
    sealed.write_text(json.dumps(mine | {"instructor": OTHER.public.letters}))
    with pytest.raises(BadInput):
        read_questions(sealed, lambda: WORD)


def test_no_way_back_to_an_open_file(tmp_path: Path, sealed: Path) -> None:
    """A file that calls itself sealed and has an open part is refused; so is an older format."""
    mine, plain = json.loads(sealed.read_text()), json.loads(paper_text(small_paper(tmp_path)[1]))
    for change in (
        {"questions": plain["questions"]},
        {"sealed": False},
        {"instructor": None},
        {"exam_paper_format": 1},
    ):
        sealed.write_text(json.dumps(mine | change))
        with pytest.raises(BadInput, match="no exam paper"):
            read_questions(sealed, lambda: WORD)


def test_no_key_in_what_the_sitting_side_opens(tmp_path: Path, sealed: Path, plain: Path) -> None:
    """Neither file nor opened questions hold a word of the keys; the sources do (so the words are right)."""
    paper, sources = small_paper(tmp_path)
    texts = [sealed.read_text(), plain.read_text(), paper.model_dump_json(), repr(paper)]
    assert [word for word in KEY_WORDS for text in texts if word in text] == []
    assert all(word in sources.model_dump_json() for word in KEY_WORDS)


def test_a_sealed_paper_shows_no_question(sealed: Path, plain: Path) -> None:
    """The questions themselves are hidden until the pass-phrase is typed."""
    assert "pressure difference" not in sealed.read_text()
    assert "pressure difference" in plain.read_text()


def test_the_sources_stay_closed_while_sitting(sealed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Opening the questions opens no box."""
    monkeypatch.setattr(papers, "open_box", never)
    assert read_questions(sealed, lambda: WORD).paper.questions


def test_another_start_word(sealed: Path) -> None:
    """A wrong start word opens nothing and is told in one line with the file's name."""
    with pytest.raises(BadInput, match="another secret opens it, or the file was altered") as told:
        read_questions(sealed, lambda: "another-word")
    assert told.value.lines[0].startswith(f"{sealed}: ")
    assert len(told.value.lines) == 1


def test_one_altered_letter_is_noticed(sealed: Path) -> None:
    """A changed letter inside the encrypted questions is noticed (AES-GCM authenticates)."""
    whole = json.loads(sealed.read_text())
    part = json.loads(whole["questions"])
    part["closed"] = ("B" if part["closed"][0] != "B" else "C") + part["closed"][1:]
    sealed.write_text(json.dumps(whole | {"questions": json.dumps(part)}))
    with pytest.raises(BadInput, match="altered"):
        read_questions(sealed, lambda: WORD)


@pytest.mark.parametrize(
    "damage",
    [
        lambda text: text[: len(text) // 2],
        lambda _: "",
        lambda _: "[]",
        lambda _: "\x00\xff",
        lambda text: text.replace('"exam_paper_format": 2', '"exam_paper_format": 3'),
        lambda text: text.replace('"limit_s": 60.0', '"limit_s": -1'),
        lambda text: text.replace('"limit_s": 60.0', '"limit_s": 60.0, "extra": 1'),
    ],
)
def test_a_damaged_paper_is_one_line(plain: Path, damage: object) -> None:
    """A paper that is cut, empty, of another format or out of range gives one line, never a traceback."""
    plain.write_text(damage(plain.read_text()))  # type: ignore[operator]
    with pytest.raises(BadInput, match="no exam paper, or damaged") as told:
        read_questions(plain, never)
    assert len(told.value.lines) == 1


@pytest.mark.parametrize(
    ("damage", "told"),
    [
        (lambda q: q["questions"].append(q["questions"][0]), "each question once"),
        (lambda q: q["questions"][0].update(section="elsewhere"), "'elsewhere', which is not in the paper"),
        (lambda q: q["sections"][0]["readings"]["rows"][0].pop(), "values in every row"),
        (lambda q: q["questions"][0]["asked"].update(marks=-1), "marks above 0"),
        (lambda q: q["questions"][0]["asked"].update(marks=1e9), "marks above 0"),
    ],
)
def test_a_paper_that_would_fail_in_the_middle_is_refused(plain: Path, damage: object, told: str) -> None:
    """What hangs together wrongly is told when the paper is opened, not at the question."""
    whole = json.loads(plain.read_text())
    damage(whole["questions"])  # type: ignore[operator]
    plain.write_text(json.dumps(whole))
    with pytest.raises(BadInput, match=told) as refused:
        read_questions(plain, never)
    assert "damaged: questions" in refused.value.lines[0]
    assert "Paper" not in refused.value.lines[0]  # names of classes mean nothing to the user


@pytest.mark.parametrize("packed", ["?", base64.b64encode(b"no zlib").decode(), ""])
def test_damaged_sources_are_one_line(plain: Path, packed: str) -> None:
    """Sources that cannot be unpacked give one line."""
    whole = json.loads(plain.read_text())
    plain.write_text(json.dumps(whole | {"sources": packed}))
    with pytest.raises(BadInput, match="no exam paper, or damaged"):
        read_sources(plain, never)


def test_sources_that_unpack_to_gigabytes_are_refused(plain: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A packed part is unpacked only up to the largest paper."""
    monkeypatch.setattr(papers, "LARGEST_BYTES", 100_000)
    whole = json.loads(plain.read_text())
    hidden = zlib.decompress(base64.b64decode(whole["sources"]))
    bomb = base64.b64encode(zlib.compress(b" " * 10_000_000 + hidden)).decode()
    plain.write_text(json.dumps(whole | {"sources": bomb}))
    with pytest.raises(BadInput, match="no exam paper, or damaged"):
        read_sources(plain, never)


def test_no_such_paper(tmp_path: Path) -> None:
    """A missing file and a folder are one line."""
    for path in (tmp_path / "none.json", tmp_path):
        with pytest.raises(BadInput):
            read_questions(path, never)
