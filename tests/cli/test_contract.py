"""The stable part of the command line: exit codes, JSON keys, event words, repeatability."""

from __future__ import annotations

import itertools
import json
import signal
import struct
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import glasscan.cli.schema
import jsonschema
import pytest
import yaml
from glasscan.cli.headless import Progress
from glasscan.learning.catalogue import scenario_names, scenario_path
from glasscan.learning.vocabulary import EVENTS

from tests.cli.conftest import TOP, Cli, command

KEYS = ["scenario", "seed", "ended", "why", "t_end_s", "events", "final", "unfiltered_l", "ledger"]


def test_json_is_one_object_with_the_agreed_keys(cli: Cli) -> None:
    """`run --json` prints exactly one object, with the keys others rely on, and nothing else."""
    said = cli("run", "cold-start", "--for", "20", "--seed", "7", "--json")
    assert said.code == 0
    told = json.loads(said.out)
    assert list(told) == KEYS
    assert (told["scenario"], told["seed"], told["ended"], told["t_end_s"]) == (
        "cold-start",
        7,
        "completed",
        20.0,
    )
    assert all(
        list(e) == ["t_s", "event", "dp_kpa", "oil_c"] and e["event"] in EVENTS for e in told["events"]
    )
    assert {"bypass-cracks", "gallery-full"} <= {e["event"] for e in told["events"]}
    assert sorted(told["ledger"]) == ["mass_error_rel", "volume_error_rel"]
    assert max(told["ledger"].values()) < 1e-9
    assert told["unfiltered_l"] > 0


def test_set_reaches_the_model(cli: Cli) -> None:
    """`--set` changes the run: warm oil leaves the valve shut, cold oil opens it."""
    cold = json.loads(cli("run", "cold-start", "--for", "10", "--json").out)
    warm = json.loads(cli("run", "cold-start", "--for", "10", "--json", "--set", "start.oil_c=90").out)
    assert "bypass-cracks" in {e["event"] for e in cold["events"]}
    assert "bypass-cracks" not in {e["event"] for e in warm["events"]}


def test_out_leaves_three_files_and_the_same_bytes(tmp_path: Path) -> None:
    """Two runs with one seed write the same bytes of trace, and pictures; standard output stays pure JSON."""
    for name in ("a", "b"):
        with command("run", "cold-start", "--for", "8", "--json", "--out", str(tmp_path / name)) as process:
            out, _ = process.communicate(timeout=120)
        assert process.returncode == 0
        assert json.loads(out)["t_end_s"] == 8.0
    files = {p.name: p.read_bytes() for p in (tmp_path / "a").iterdir()}
    assert sorted(files) == ["section.png", "trace.csv", "trace.png"]
    assert files["trace.csv"] == (tmp_path / "b" / "trace.csv").read_bytes()
    assert files["trace.csv"].splitlines()[0].startswith(b"time [s],")
    assert all(files[p].startswith(b"\x89PNG") for p in ("section.png", "trace.png"))


def test_without_a_display_the_same_run_is_written(tmp_path: Path) -> None:
    """`glasscan open` without a display says so in one line, runs the scenario and leaves its files."""
    with command(
        "open", "warm-start", "--set", "end_s=5", "--set", "timeline=[]", "--set", "notes=[]", cwd=tmp_path
    ) as process:
        out, err = process.communicate(timeout=120)
    assert process.returncode == 0
    assert (
        err.splitlines()[0]
        == "no display here: running warm-start without a window, into glasscan-warm-start/"
    )
    assert out.splitlines()[0] == "Warm start on a spin-on filter"
    assert sorted(p.name for p in (tmp_path / "glasscan-warm-start").iterdir()) == [
        "section.png", "trace.csv", "trace.png",
    ]  # fmt: skip


def test_a_display_that_does_not_answer(tmp_path: Path) -> None:
    """A display that is named but cannot be reached is treated as none."""
    env = {"DISPLAY": ":4242", "SDL_VIDEODRIVER": "x11"}
    with command(
        "open",
        "warm-start",
        "--set",
        "end_s=5",
        "--set",
        "timeline=[]",
        "--set",
        "notes=[]",
        cwd=tmp_path,
        env=env,
    ) as process:
        _, err = process.communicate(timeout=120)
    assert (process.returncode, err.splitlines()[0][:15]) == (0, "no display here")


def test_shot_draws_the_asked_size(cli: Cli, tmp_path: Path) -> None:
    """`shot` writes a PNG of the size asked for (bytes 16 to 24 of the file, PNG specification)."""
    target = tmp_path / "new" / "frame.png"
    said = cli(
        "shot", "cold-start", "--at", "4", "--out", str(target), "--size", "1280x720", "--theme", "light"
    )
    assert said.code == 0
    assert struct.unpack(">II", target.read_bytes()[16:24]) == (1280, 720)


def test_shot_alone_says_what_it_wrote(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A scenario is enough; with `--json` one object tells file, moment and size, and nothing else."""
    monkeypatch.chdir(tmp_path)
    short = ("--set", "end_s=2", "--set", "timeline=[]", "--set", "notes=[]")
    said = cli("shot", "warm-start", *short, "--size", "640x400", "--json")
    told = json.loads(said.out)
    assert (told["file"], told["at_s"], told["width_px"]) == ("glasscan-warm-start.png", 2.0, 640)
    assert struct.unpack(">II", (tmp_path / told["file"]).read_bytes()[16:24]) == (640, 400)


def test_words_for_people(cli: Cli) -> None:
    """Without `--json` the run is told in a few lines, ending with why it ended."""
    said = cli("run", "cold-start", "--for", "5")
    assert said.code == 0
    assert said.out.splitlines()[0] == "Cold start on a spin-on filter"
    assert "bypass-cracks" in said.out
    assert said.out.splitlines()[-1].startswith("completed at 5.0 s")


def test_check_says_fine_or_lines(cli: Cli, tmp_path: Path) -> None:
    """`check` takes many files, tells the good on standard output, the bad on standard error, gives 2."""
    bad = tmp_path / "bad.yaml"
    bad.write_text("air_c: hot\n")
    said = cli("check", "cold-start", str(bad))
    assert (said.code, said.out) == (2, "cold-start: fine\n")
    assert said.err[0].startswith(f"{bad}:1:1: ")


def test_check_tells_the_same_as_one_object(cli: Cli, tmp_path: Path) -> None:
    """`check --json`: one object with every file and its lines; the lines go to standard error as ever."""
    bad = tmp_path / "bad.yaml"
    bad.write_text("air_c: hot\n")
    said = cli("check", "cold-start", str(bad), "--json")
    told = json.loads(said.out)
    assert (said.code, told["fine"]) == (2, False)
    assert told["files"][0] == {"file": "cold-start", "fine": True, "problems": []}
    assert tuple(told["files"][1]["problems"]) == said.err


def test_all_shipped_files_are_fine(cli: Cli) -> None:
    """Every scenario, oil, filter and rig that is shipped passes `check`."""
    data = sorted((TOP / "assets").glob("f*s/*.yaml")) + sorted((TOP / "assets" / "plants").glob("*.yaml"))
    files = [str(p) for p in data if p.parent.name in ("fluids", "filters", "plants")]
    said = cli("check", *scenario_names(), *files)
    assert (said.code, said.err) == (0, ())
    assert len(said.out.splitlines()) == len(scenario_names()) + len(files) > 4


def test_schema_is_json_schema_and_fits_the_shipped_files(cli: Cli) -> None:
    """`schema` prints a valid JSON Schema; every shipped scenario fits it and a changed one does not."""
    schema = json.loads(cli("schema").out)
    assert cli("schema", "--json").out.count("\n") == 1
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for name in scenario_names():
        data = yaml.safe_load(scenario_path(name).read_text(encoding="utf-8"))
        assert list(validator.iter_errors(data)) == []
        assert list(validator.iter_errors(data | {"air_f": 3})) != []
    assert schema == glasscan.cli.schema.scenario_schema()


def test_first_lines_name_no_host() -> None:
    """No shipped scenario names a host or a scheme in its first line."""
    for name in scenario_names():
        assert "://" not in scenario_path(name).read_text(encoding="utf-8").splitlines()[0]


def test_figures(cli: Cli) -> None:
    """`figure` lists the laws, works one out, and prints it in words or in JSON."""
    assert "density" in cli("figure").out
    assert "density" in json.loads(cli("figure", "--json").out)["figures"]
    told = json.loads(cli("figure", "density", "rho15=870", "at_c=15", "--json").out)
    assert {"name", "inputs", "value", "unit", "method", "source"} <= set(told)
    assert told["value"] == pytest.approx(870.0)  # the density at 15 degC is the input itself, by definition
    lines = cli("figure", "density", "rho15=870", "at_c=15").out.splitlines()
    assert lines[0] == "density = 870 kg/m3"
    assert "  beyond = no" in lines
    assert "API MPMS" in lines[-1]


def test_version_and_help(cli: Cli) -> None:
    """`--version` and `--help` leave with 0."""
    assert cli("--version").out.startswith("glasscan ")
    assert "VERB" in cli("--help").out


def test_a_fault_of_ours_is_one_line(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    """An unknown exception gives exit code 1, one line and a hint; the traceback comes only on request."""

    def broken(_word: str) -> None:
        raise RuntimeError("first\nsecond")

    monkeypatch.setattr(glasscan.cli.schema, "schema_of", broken)
    said = cli("schema")
    assert (said.code, said.out) == (1, "")
    assert said.err == (
        "a fault of ours: RuntimeError: first second (GLASSCAN_TRACEBACK=1 in the environment shows where)",
    )
    monkeypatch.setenv("GLASSCAN_TRACEBACK", "1")
    with pytest.raises(RuntimeError):
        cli("schema")


def test_a_closed_pipe_is_no_fault() -> None:
    """A reader that goes away ends the command quietly."""
    with command("schema") as process:
        assert process.stdout
        assert process.stderr
        process.stdout.close()
        assert process.stderr.read() == ""
        assert process.wait(30) == 0


@pytest.fixture
def keyboard() -> Iterator[None]:
    """Ctrl-C has its usual meaning, which a shell takes from jobs in its background."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


def _press_in_step(monkeypatch: pytest.MonkeyPatch, times: int) -> None:
    """Press Ctrl-C `times` times when the run has made some steps."""
    calls = itertools.count()
    inner = Progress.__call__

    def pressed(self: Progress, t_s: float, end_s: float) -> bool:
        if next(calls) == 5:
            for _ in range(times):
                signal.raise_signal(signal.SIGINT)
        return inner(self, t_s, end_s)

    monkeypatch.setattr(Progress, "__call__", pressed)


@pytest.mark.usefixtures("keyboard")
def test_stopping_from_the_keyboard_keeps_the_run(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl-C ends the run at its next step: exit code 130, and the summary of what was run."""
    _press_in_step(monkeypatch, 1)
    said = cli("run", "cold-start", "--for", "900", "--json")
    told = json.loads(said.out)
    assert (said.code, told["ended"]) == (130, "stopped")
    assert told["t_end_s"] > 0


@pytest.mark.usefixtures("keyboard")
def test_stopping_twice_leaves_at_once(cli: Cli, monkeypatch: pytest.MonkeyPatch) -> None:
    """A second Ctrl-C leaves without a summary, in one line, and puts the keyboard's usual meaning back."""
    _press_in_step(monkeypatch, 2)
    said = cli("run", "cold-start", "--for", "900", "--json")
    assert (said.code, said.out, said.err) == (130, "", ("stopped",))
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


@pytest.mark.parametrize("words", [["check", "cold-start"], ["schema"], ["run", "none.yaml"]])
def test_quick_verbs_load_no_heavy_library(words: list[str]) -> None:
    """Reading and refusing files needs neither numpy nor scipy nor pygame."""
    probe = (
        "import sys, glasscan.cli.main\n"
        f"glasscan.cli.main.main({words!r})\n"
        "print([m for m in ('numpy', 'scipy', 'pygame', 'pymunk') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True, cwd=TOP, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
