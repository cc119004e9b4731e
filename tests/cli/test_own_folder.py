"""`glasscan --data-dir DIR`: one folder for the window and for every verb that follows."""

import pytest
from glasscan.cli import main, window
from glasscan.learning.store.connection import store_path
from glasscan.paths import DATA_DIR, own_folder


@pytest.fixture(autouse=True)
def _environment(monkeypatch):
    """The word in the environment is that of the test alone."""
    monkeypatch.setenv(DATA_DIR, "")


@pytest.mark.parametrize("joined", [False, True])
def test_the_window_keeps_everything_in_the_folder_named(monkeypatch, tmp_path, joined):
    """Without a verb the window opens, and store and cases lie in that folder."""
    seen = []
    monkeypatch.setattr(window, "open_default", lambda: seen.append(own_folder()) or 0)
    words = [f"--data-dir={tmp_path}"] if joined else ["--data-dir", str(tmp_path)]
    assert main.main(words) == 0
    assert seen == [tmp_path]
    assert store_path() == tmp_path / "results.sqlite3"
    from glasscan.window.cases.case_store import folder

    assert folder() == tmp_path / "cases"


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
