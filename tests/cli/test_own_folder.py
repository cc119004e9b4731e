"""`glasscan --data-dir DIR`: one folder for the window and for every verb that follows."""

import json
import os

import pytest
from glasscan.cli import main, window
from glasscan.learning.store.connection import store_path
from glasscan.paths import DATA_DIR, own_folder
from glasscan.window.cases.case_store import folder
from glasscan.window.home import resume_state
from glasscan.window.study import user_prefs


@pytest.fixture(autouse=True)
def _environment(monkeypatch, tmp_path):
    """The word in the environment is that of the test alone, and so is the user's own state."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv(DATA_DIR, "")


@pytest.mark.parametrize("joined", [False, True])
def test_the_window_keeps_everything_in_the_folder_named(monkeypatch, tmp_path, joined):
    """Without a verb the window opens, and store and cases lie in that folder."""
    seen = []
    looked = lambda: (own_folder(), store_path(), folder())  # noqa: E731 - looked at while it is open
    monkeypatch.setattr(window, "open_default", lambda: seen.append(looked()) or 0)
    words = [f"--data-dir={tmp_path}"] if joined else ["--data-dir", str(tmp_path)]
    assert main.main(words) == 0
    assert seen == [(tmp_path, tmp_path / "results.sqlite3", tmp_path / "cases")]


def test_a_verb_may_follow(tmp_path, capsys):
    """The rest of the line is read as ever, and looks into the same folder."""
    assert main.main(["--data-dir", str(tmp_path), "results", "list", "--json"]) == 2
    assert str(tmp_path / "results.sqlite3") in capsys.readouterr().err


@pytest.mark.parametrize("words", [["--data-dir"], ["--data-dir="], ["--data-dir", "FILE"]])
def test_what_is_no_folder_is_told_in_one_line(tmp_path, capsys, words):
    """Exit 2 and one line."""
    (tmp_path / "file").write_text("x")
    assert main.main([w.replace("FILE", str(tmp_path / "file")) for w in words]) == 2
    told = capsys.readouterr().err.strip().splitlines()
    assert len(told) == 1
    assert "expected a folder" in told[0]


@pytest.mark.parametrize(
    "words", [["--data-dir", "DIR", "where", "--json"], ["where", "--json", "--data-dir", "DIR"]]
)
def test_one_root_wherever_the_word_stands(tmp_path, capsys, words):
    """Results, cases, papers, nickname, last place, pictures and log: all below the folder named."""
    assert main.main([w.replace("DIR", str(tmp_path)) for w in words]) == 0
    told = json.loads(capsys.readouterr().out)
    told.pop("worked out again when missing")
    assert len(told) == 8
    assert all(path.startswith(str(tmp_path)) for path in told.values())


def test_the_next_person_starts_clean(tmp_path, monkeypatch):
    """With a folder of one's own nobody else's nickname or place is offered."""
    user_prefs.change(nickname="Zed")
    resume_state.save(resume_state.ResumeState(scenario="cold-start", t_s=27.6))
    monkeypatch.setenv(DATA_DIR, str(tmp_path / "mine"))
    assert (user_prefs.load().nickname, resume_state.load().scenario) == ("", "")


def test_a_folder_named_for_one_command_holds_for_that_one(tmp_path, capsys):
    """The environment is as it was when the command is over."""
    assert main.main(["where", "--data-dir", str(tmp_path)]) == 0
    capsys.readouterr()
    assert os.environ[DATA_DIR] == ""
