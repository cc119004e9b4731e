"""Names that no file can have, closed streams, full disks, no home: one clear line, never a traceback."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from glasscan.cli import headless

from tests.cli.conftest import TOP, Cli

resource = pytest.importorskip("resource", reason="limits of a process are set by other means here")

JUNK = {
    "empty.json": b"",
    "bytes.json": bytes(range(256)),
    "list.json": b"[1, 2]",
    "null.json": b"null",
    "deep.json": b"[" * 100_000,
    "object.json": b"{}",
    "table.csv": b"a,b\n1",
}
NAMES = ("none.json", "folder", "/dev/null", "", "-", "x" * 5000, "a\0b", "é\udcff", *JUNK)
VERBS = {
    "check FILE": ["check", "{}"],
    "run FILE": ["run", "{}", "--for", "1"],
    "run --set": ["run", "cold-start", "--set", "{}"],
    "shot FILE": ["shot", "{}", "--at", "1", "--out", "a.png"],
    "new lesson": ["new", "{}", "x"],
    "figure": ["figure", "{}"],
    "figure value": ["figure", "density", "rho15={}", "at_c=3"],
    "case --seed": ["case", "--seed", "{}"],
    "case --filter": ["case", "--seed", "1", "--filter", "{}"],
    "exam make --from": ["exam", "make", "--from", "{}", "--seed", "1", "--minutes", "9", "--out", "p"],
    "exam sit": ["exam", "sit", "{}", "--who", "Wen"],
    "exam mark": ["exam", "mark", "{}", "{}", "--out", "marked"],
    "class": ["class", "{}", "--out", "class"],
    "results list": ["results", "list", "--data-dir", "{}/none"],
    "results delete": ["results", "delete", "--who", "{}", "--yes"],
    "a verb": ["{}"],
}


@pytest.fixture
def there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A working folder with junk in it, and data and cache of its own."""
    for name, content in JUNK.items():
        (tmp_path / name).write_bytes(content)
    (tmp_path / "folder").mkdir()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path


@pytest.mark.parametrize("verb", VERBS)
@pytest.mark.usefixtures("there")
def test_junk_in_every_place(cli: Cli, verb: str) -> None:
    """Whatever stands where a file, name or value belongs: exit code 2, printable lines, none too long."""
    for name in NAMES:
        said = cli(*(word.replace("{}", name) for word in VERBS[verb]))
        told = f"{verb} {name[:20]!r}: {said}"
        assert (said.code, said.out) == (2, ""), told[:500]
        assert said.err, told
        assert all(line.isprintable() and len(line) < 1100 for line in said.err), told[:500]


def shell(words: str, folder: Path, **env: str) -> subprocess.CompletedProcess[str]:
    """A shell line in a process of its own; GLASSCAN stands for the command."""
    line = words.replace("GLASSCAN", f"{sys.executable} -m glasscan")
    clean = {k: v for k, v in os.environ.items() if k not in ("DISPLAY", "WAYLAND_DISPLAY")}
    own = {
        "PYTHONPATH": str(TOP / "sim"),
        "XDG_DATA_HOME": str(folder / "d"),
        "XDG_CACHE_HOME": str(folder / "c"),
    }
    return subprocess.run(
        ["bash", "-c", line],
        capture_output=True,
        text=True,
        cwd=folder,
        env={**clean, **own, "SDL_VIDEODRIVER": "dummy", **env},
        check=False,
        timeout=240,
    )


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs Linux's full device")
@pytest.mark.parametrize(
    ("words", "code", "lines"),
    [
        ("GLASSCAN check none.yaml <&-", 2, ["none.yaml: no such file"]),
        ("GLASSCAN study <&-", 130, []),
        ("GLASSCAN figure >&-", 0, []),
        ("GLASSCAN check none.yaml 2>&-", 2, []),
        ("GLASSCAN check none.yaml >&- 2>&-", 2, []),
        ("GLASSCAN check none.yaml 2>/dev/full", 2, []),
        ("GLASSCAN figure >/dev/full", 2, ["writing: No space left on device"]),
        ("set -o pipefail; GLASSCAN schema | head -n 1", 0, []),
        ("set -o pipefail; GLASSCAN --help | head -n 1", 0, []),
        ("LC_ALL=POSIX PYTHONUTF8=0 PYTHONCOERCECLOCALE=0 PYTHONIOENCODING=ascii GLASSCAN figure", 0, []),
        ("env -u HOME -u XDG_DATA_HOME -u XDG_CACHE_HOME GLASSCAN results list --data-dir d", 2, None),
        ("env -u XDG_DATA_HOME HOME=/proc/none GLASSCAN study --list", 2, None),
        ("mkdir gone; cd gone; rmdir ../gone; GLASSCAN check cold-start", 0, []),
        ("GLASSCAN check $'a\\nb.yaml'", 2, ["a\\nb.yaml: no such file"]),
        ("GLASSCAN check $'\\xff.yaml'", 2, None),
    ],
)
def test_streams_homes_and_letters(words: str, code: int, lines: list[str] | None, tmp_path: Path) -> None:
    """Closed or full streams, no home, a locale without letters: the right code, at most one line."""
    done = shell(words, tmp_path)
    told = done.stderr.splitlines()
    assert done.returncode == code, told
    assert told == lines if lines is not None else len(told) == 1, told


def test_a_full_disk(cli: Cli, there: Path, run_once: None) -> None:
    """Every file that a verb writes meets a disk that takes but 200 bytes: exit 2, one line."""
    words = [
        ["run", "cold-start", "--for", "1", "--out", "traces"],
        ["shot", "cold-start", "--at", "0.1", "--out", "frame.png", "--size", "640x400"],
        ["new", "lesson", "mine"],
        ["exam", "make", "--from", "cold-start", "--seed", "1", "--minutes", "9", "--out", "paper.json"],
        ["study", "--list"],
    ]
    del run_once
    assert headless.run_scenario
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    for command in words:
        resource.setrlimit(resource.RLIMIT_FSIZE, (200, before[1]))
        try:
            said = cli(*command)
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, before)
        assert (said.code, said.out, len(said.err)) == (2, "", 1), said
    assert not [p for p in there.rglob("*.png") if p.stat().st_size > 200]
