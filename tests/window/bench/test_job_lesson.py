"""The run after a job watched as a lesson: by the command and from the window, the same machine runs.

No outside number: the two ways to the run, `job --run` and the lesson of `job --lesson`, are compared. That
two gaskets lose the oil and that an open drain gives no pressure are told in accident summaries of a public
safety board (as told in assets/workshop/conditions.yaml).
"""

from __future__ import annotations

import json

import pytest
import yaml
from glasscan.cli.main import main
from glasscan.window.bench.job_flow import do_job
from glasscan.workshop.procedures.job import Job
from glasscan.workshop.procedures.procedure_catalogue import load_conditions, load_procedure

from tests.window.bench.by_keys import due, hand, record

OLD_RING = (
    "right-manual,right-parts,made-safe,protected,clean-tray,cut-wire,break-loose,unscrew,check-new,mark-new,"
    "spin-on,first-run"
)
OPEN_SUMP = "right-manual,right-parts,made-safe,protected,drain-sump"


def told(capsys, *words):
    """What a command prints as JSON."""
    assert main([*words, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def lesson_of(capsys, tmp_path, steps, met):
    """The job, and the path of the lesson that it wrote."""
    path = tmp_path / "next-run.yaml"
    words = ("--steps", steps, "--met", met) if met else ("--steps", steps)
    job = told(capsys, "job", "can-change", *words, "--run", "--lesson", str(path))
    assert job["lesson"] == str(path)
    assert main(["check", str(path)]) == 0
    capsys.readouterr()
    return job, path


def test_two_rings_lose_the_same_oil_by_both_ways(capsys, tmp_path):
    """The curve of the job and the lesson in the cutaway end with the same litres on the floor."""
    job, path = lesson_of(capsys, tmp_path, OLD_RING, "old-gasket-on-head")
    assert "double-gasket" in {x["condition"] for x in job["left"]}
    lost_l = job["next_run"]["lost"]["yours"]["at_end"]
    shot = told(
        capsys, "shot", str(path), "--at", "75", "--out", str(tmp_path / "f.png"), "--size", "1280x720"
    )
    assert lost_l > 1.0
    assert shot["drawn"]["leak_ml"] * 1e-3 == pytest.approx(lost_l, rel=0.02)
    assert [fault["fault"] for fault in shot["drawn"]["faults"]] == ["F15"]


def test_an_open_drain_gives_no_pressure(capsys, tmp_path):
    """What stands open is in the run: the sump is all but empty, the gauge never reaches the green."""
    job, path = lesson_of(capsys, tmp_path, OPEN_SUMP, "")
    run = told(capsys, "run", str(path))
    assert {"drain-open", "sump-empty"} & {x["condition"] for x in job["left"]}
    gauge = job["next_run"]["gauge"]
    assert run["final"]["gauge_kpa"] == pytest.approx(gauge["yours"]["at_end"], rel=0.02)
    assert run["final"]["gauge_kpa"] < 0.25 * gauge["well"]["at_end"]
    assert "pressure-green" not in {event["event"] for event in run["events"]}


@pytest.mark.parametrize(("steps", "met"), [(OLD_RING, "old-gasket-on-head"), (OPEN_SUMP, "")])
def test_everything_left_behind_stands_in_the_lesson(capsys, tmp_path, steps, met):
    """Each condition of the job has a note for whoever presents it; the gravest fault comes first."""
    job, path = lesson_of(capsys, tmp_path, steps, met)
    lesson = yaml.safe_load(path.read_text(encoding="utf-8"))
    known = load_conditions()
    said = "\n".join(note["say"] for note in lesson["notes"])
    for left in job["left"]:
        assert known[left["condition"]].title in said
    assert len(lesson["notes"]) == len({x["condition"] for x in job["left"]})
    if met:
        assert lesson["faults"][0]["fault"] == "F15"


def test_a_file_that_is_there_is_kept(capsys, tmp_path):
    """One clear line, and the file as it was."""
    path = tmp_path / "kept.yaml"
    path.write_text("mine", encoding="utf-8")
    assert main(["job", "can-change", "--steps", OPEN_SUMP, "--lesson", str(path)]) == 2
    assert "is there already" in capsys.readouterr().err
    assert path.read_text(encoding="utf-8") == "mine"


def test_the_window_opens_the_run_and_comes_back(front, monkeypatch, tmp_path):
    """W on the page of the next run opens the lesson; left, the page is there again, Enter goes on."""
    monkeypatch.setenv("GLASSCAN_DATA_DIR", str(tmp_path))
    presses = iter(["w", "enter"])
    job = Job(load_procedure("can-change"), 1, ())
    window = front(JobPage=due, HandPage=hand, RecordPage=record, RunPage=lambda _: [next(presses)])
    opened = []
    window.open = lambda wanted: opened.append(wanted.scenario) or True
    assert do_job(window, job, "can")
    assert window.shown[-3:] == ["RunPage", "RunPage", "ReportPage"]
    assert opened == [str(tmp_path / "after-jobs" / "after-can-change.yaml")]
    assert main(["check", opened[0]]) == 0
