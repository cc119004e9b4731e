"""`glasscan case`: the window where there is a display, text where it is asked for or where none can open."""

import json

import pytest
from glasscan.cli import case as command
from glasscan.cli import main
from glasscan.window import app
from glasscan.window.cases import open_case
from glasscan.window.cases.start_page import Chosen

from tests.window.cases.conftest import silent


@pytest.fixture
def opened(monkeypatch):
    """What the window was opened on; there is a display."""
    found = []
    monkeypatch.setattr(command, "has_display", lambda: True)
    monkeypatch.setattr(open_case, "open_case", lambda chosen, **_: found.append(chosen))
    return found


def run(seed, *words):
    """Exit code of the command."""
    return main.main(["case", "--seed", str(seed), "--filter", "can", *words])


def test_it_opens_in_the_window(runnable, opened):
    """Number, filter, level and file go on to the page."""
    assert run(runnable[0], "--level", "3") == 0
    assert run(runnable[0], "--resume", "kept.json") == 0
    assert opened[0] == Chosen(runnable[0], "can", 3)
    assert str(opened[1].path) == "kept.json"


@pytest.mark.parametrize("words", [["--text"], ["--json"], ["--solve"]])
def test_text_where_it_is_asked_for(runnable, opened, capsys, words):
    """The table, one JSON object, the reference path: no window."""
    assert run(runnable[0], *words) == 0
    assert opened == []
    out = capsys.readouterr().out
    assert out
    if words == ["--json"]:
        assert json.loads(out)["seed"] == runnable[0]


def test_text_where_no_window_can_open(runnable, monkeypatch, capsys):
    """A display that is named but refuses, or none at all: the table as before."""
    assert run(runnable[0]) == 0
    monkeypatch.setattr(command, "has_display", lambda: True)

    def refuse(*_, **__):
        raise app.NoDisplay("no")

    monkeypatch.setattr(open_case, "open_case", refuse)
    assert run(runnable[0]) == 0
    assert capsys.readouterr().out.count("Flight line") == 2


def test_a_bad_file_is_one_line(monkeypatch, tmp_path, capsys):
    """Told as bad input, exit 2, with the name of the file."""
    monkeypatch.setattr(command, "has_display", lambda: True)
    monkeypatch.setattr(app, "do_behind_bar", lambda _, work, __: work(silent))
    assert run(1, "--resume", str(tmp_path / "none.json")) == 2
    told = capsys.readouterr().err
    assert "none.json" in told
    assert "Traceback" not in told
