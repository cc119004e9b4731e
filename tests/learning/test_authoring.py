"""Writing lessons: the starter, live reload, papers of a seed, and mistakes told by line.

No outside number; file behaviour is checked against the file system itself.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from glasscan.cli.main import main
from glasscan.cli.new import write_lesson
from glasscan.content import BadInput
from glasscan.learning.live_reload import LiveLesson
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.syllabus import code
from glasscan.learning.variants import load_variant
from glasscan.paths import asset

from tests.learning.playing import right_answer, run_of
from tests.world import SCENARIO


def test_the_starter_is_a_lesson(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """`new lesson` writes a commented file under the name given, and `check` finds it fine."""
    monkeypatch.chdir(tmp_path)
    assert main(["new", "lesson", "my-first"]) == 0
    assert capsys.readouterr().out == "my-first.yaml\n"
    assert (tmp_path / "my-first.yaml").read_text(encoding="utf-8").startswith("# A lesson.")
    assert main(["check", "my-first.yaml"]) == 0


def test_the_starter_runs_and_is_marked(tmp_path: Path) -> None:
    """The starter plays to its end, and each of its prompts has an answer that is right."""
    from glasscan.learning.prompts import mark

    lesson = load_scenario(str(write_lesson("mine", tmp_path / "deep" / "folder")))
    log = run_of(lesson)
    assert log.ended == "completed"
    assert [mark(p, right_answer(p, log), log).share for p in lesson.prompts] == [1.0] * 3


def test_new_never_overwrites(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file that is there stays as it is, to the byte, and the exit code says so."""
    path = tmp_path / "mine.yaml"
    path.write_bytes(b"my own work")
    assert main(["new", "lesson", "mine", "--out", str(tmp_path)]) == 2
    said = capsys.readouterr()
    assert (said.out, said.err) == ("", f"{path}: exists already; it is left as it is\n")
    assert path.read_bytes() == b"my own work"


@pytest.mark.parametrize("name", ["", "My Lesson", "../up", "a/b", "-x-", "x" * 61, "caf\u00e9", "."])
def test_new_wants_an_id(name: str, tmp_path: Path) -> None:
    """What is no id is refused in one line, and nothing is written."""
    with pytest.raises(BadInput, match="expected small letters"):
        write_lesson(name, tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_new_names_the_nearest_word(capsys: pytest.CaptureFixture[str]) -> None:
    """Another word than `lesson` is bad input, with the nearest one."""
    assert main(["new", "leson", "x"]) == 2
    assert "did you mean 'lesson'" in capsys.readouterr().err


def test_new_tells_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    """A file where the folder should be gives one line, not a traceback."""
    (tmp_path / "folder").write_text("I am a file")
    with pytest.raises(BadInput, match="cannot be written"):
        write_lesson("mine", tmp_path / "folder")


@pytest.fixture
def live(world: Path) -> LiveLesson:
    """A lesson of the small world, followed."""
    assert world
    return LiveLesson("morning")


def put(path: Path, text: str) -> None:
    """Write as editors do: a new file in place of the old one."""
    fresh = path.with_suffix(".new")
    fresh.write_text(text, encoding="utf-8")
    fresh.replace(path)


def test_reload_follows_the_file(live: LiveLesson) -> None:
    """Nothing moved: nothing loaded. Changed: the new lesson, once."""
    assert live.look().changed is False
    put(live.path, SCENARIO.replace("title: Morning", "title: Evening"))
    seen = live.look()
    assert (seen.changed, seen.scenario.title, seen.lines) == (True, "Evening", ())
    assert live.look().changed is False
    assert live.scenario.title == "Evening"


def test_reload_keeps_the_good_lesson(live: LiveLesson) -> None:
    """A file with mistakes leaves the old lesson and gives the lines, until it is mended."""
    put(live.path, SCENARIO.replace("fluid: thin-oil", "fluid: thin-oils"))
    for _ in range(2):
        bad = live.look()
        assert (bad.changed, bad.scenario.title) == (False, "Morning")
        assert len(bad.lines) == 1
        assert bad.lines[0].startswith(f"{live.path}:6:8: fluid: expected one of")
    put(live.path, SCENARIO.replace("title: Morning", "title: Noon"))
    good = live.look()
    assert (good.changed, good.scenario.title, good.lines) == (True, "Noon", ())


def test_reload_of_a_lost_or_half_written_file(live: LiveLesson) -> None:
    """A file that is gone, empty or cut short is a mistake, and the old lesson stays."""
    live.path.unlink()
    assert (live.look().changed, len(live.look().lines)) == (False, 1)
    for text in ("", SCENARIO[:50]):
        put(live.path, text)
        assert live.look().changed is False
        assert live.look().lines
    put(live.path, SCENARIO)
    seen = live.look()
    assert (seen.changed, seen.lines, seen.scenario.title) == (False, (), "Morning")


def test_reload_ignores_a_touch(live: LiveLesson, monkeypatch: pytest.MonkeyPatch) -> None:
    """A new time stamp on the same bytes loads nothing."""
    os.utime(live.path, ns=(1, 1))
    monkeypatch.setattr("glasscan.learning.live_reload.load_scenario", None)
    assert live.look().changed is False


def test_reload_keeps_what_was_set(world: Path) -> None:
    """Overrides of the command line lie over every new version of the file."""
    live = LiveLesson(str(world / "scenarios" / "morning.yaml"), ["air_c=7"])
    put(live.path, SCENARIO.replace("end_s: 60", "end_s: 50"))
    assert (live.look().scenario.air_c, live.scenario.end_s) == (7.0, 50.0)


def test_papers_of_a_seed() -> None:
    """A seed gives the same paper each time, twenty seeds give several, and `--set` wins over the seed."""
    papers = [load_variant("dress-rehearsal", seed) for seed in range(20)]
    assert papers == [load_variant("dress-rehearsal", seed) for seed in range(20)]
    assert len({(p.air_c, p.fluid) for p in papers}) > 4
    assert {p.air_c for p in papers} <= {-4.0, -3.0, -2.0, -1.0}
    assert load_variant("dress-rehearsal", 3, ("air_c=-12",)).air_c == -12.0


STEPS = "[{id: a, text: A}, {id: b, text: B}, {id: c, text: C}]"


@pytest.mark.parametrize(
    ("block", "expected"),
    [
        (
            "kind: order-the-steps, steps: [{id: a, text: A}, {id: a, text: B}, {id: c, text: C}]",
            "duplicate id 'a'",
        ),
        (
            f"kind: order-the-steps, steps: {STEPS}, critical: [{{first: c, then: a}}]",
            "the pairs run in a circle",
        ),
        (f"kind: order-the-steps, steps: {STEPS}, before: [{{first: a, then: bb}}]", "(did you mean 'b'?)"),
        (
            "kind: order-the-steps, "
            "steps: [{id: a, text: A, event: bypass-cracks}, {id: b, text: B}, {id: c, text: C}]",
            "expected an event for every step",
        ),
        ("kind: point-at-part, targets: [{part: mediun}]", "(did you mean 'medium'?)"),
        ("kind: point-at-part, targets: [{part: discs}]", "this filter has no part 'discs'"),
        ("kind: point-at-part, targets: [{part: base}, {part: medium}]", "only the last target goes without"),
        (
            "kind: point-at-part, targets: [{part: base}], near: [{part: base, because: x}]",
            "is a target already",
        ),
        ("kind: draw-the-curve, trace: lift_mm, to_s: 50, top: -1", "expected more than bottom"),
        (
            "kind: draw-the-curve, trace: lift_mm, from_s: 60, to_s: 50, top: 1",
            "expected a time after from_s",
        ),
        (
            "kind: draw-the-curve, trace: lift_mm, to_s: 50, top: 1, edges_s: [0, 99]",
            "between from_s and to_s",
        ),
        ("kind: draw-the-curve, trace: lift_mn, to_s: 50, top: 1", "(did you mean 'lift_mm'?)"),
        ("kind: draw-the-curve, trace: lift_mm, to_s: 50, top: 1, marks: 50", "at most a tenth of all"),
        (
            "kind: log-entry, items: [{id: a, text: A}, {id: b, text: B, words: [b]}]",
            "expected words, a number",
        ),
        (
            "kind: log-entry, example: 'at {dq}', items: [{id: b, text: B, words: [b]}, "
            "{id: dp, text: A, number: {quantity: {of: unfiltered}, unit: L}}]",
            "{dq} is no item with a number",
        ),
        (
            "kind: log-entry, items: [{id: b, text: B, words: [b]}, "
            "{id: a, text: A, number: {quantity: {of: unfiltered}, unit: kPa}}]",
            "expected a unit of volume",
        ),
        ("kind: numeric-choice, quantity: {of: unfiltered}, unit: psi", "expected a unit of volume"),
        ("kind: several-answers, options: [{id: a, text: A}]", "3 to 10 items"),
        (
            "kind: single-choice, codes: [acs-iii-g-k9], choices: [{id: a, text: A, true_when: "
            "[{fact: given, holds: true, source: s}]}, {id: b, text: B}]",
            "no such code in assets/syllabus.yaml: 'acs-iii-g-k9'",
        ),
    ],
)
def test_mistakes_in_prompts_are_told_by_line(tmp_path: Path, block: str, expected: str) -> None:
    """What does not fit in one of the further kinds gives a line at the prompt, with the nearest word."""
    path = write_lesson("mine", tmp_path)
    prompts = path.read_text(encoding="utf-8").partition("# For you, in the notes window")[0]
    path.write_text(f"{prompts}  - {{{block}, id: new, ask: What}}\n", encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        load_scenario(str(path))
    last = path.read_text(encoding="utf-8").count("\n")
    assert any(expected in line and line.startswith(f"{path}:{last}:") for line in caught.value.lines), (
        caught.value.lines
    )


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("codes: [acs-iii-g-k2]", "codes: [acs-iii-g-k22]", "no such code in assets/syllabus.yaml"),
        ("{key: air_c,", "{key: air_cc,", "(did you mean 'air_c'?)"),
    ],
)
def test_mistakes_in_the_head_are_told_by_line(tmp_path: Path, old: str, new: str, expected: str) -> None:
    """An unknown syllabus code and an unknown key that varies are told with the nearest word."""
    path = write_lesson("mine", tmp_path)
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(BadInput, match=r"did you mean") as caught:
        load_scenario(str(path))
    assert expected in caught.value.lines[0]


def test_a_code_by_its_id() -> None:
    """A code is found by its id, still unverified; another one is bad input."""
    assert code("acs-iii-g-k2").code == "AM.III.G.K2"
    assert code("acs-iii-g-k2").verified is False
    with pytest.raises(BadInput, match="no code 'none'"):
        code("none")


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("id: acs-iii-g-k2,", "id: acs-iii-g-k1,", "duplicate id 'acs-iii-g-k1'"),
        ("    source: Official Journal", "    # Official Journal", "what was FOUND names its document"),
    ],
)
def test_check_knows_syllabus_and_procedures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], old: str, new: str, expected: str
) -> None:
    """`check` takes procedure files and the syllabus, and tells their mistakes."""
    assert main(["check", str(asset("procedures", "can-change.yaml")), str(asset("syllabus.yaml"))]) == 0
    assert capsys.readouterr().out.count(": fine\n") == 2
    text = asset("syllabus.yaml").read_text(encoding="utf-8")
    assert text.count(old) == 1
    (tmp_path / "syllabus.yaml").write_text(text.replace(old, new), encoding="utf-8")
    assert main(["check", str(tmp_path / "syllabus.yaml")]) == 2
    assert expected in capsys.readouterr().err
