"""What a curious trainee looks at beside the files: timing, errors, children, caches, levels, environment.

No outside number: each way was tried on an earlier state of the program; some led to the fault or the key.
"""

from __future__ import annotations

import hashlib
import json
import os
import pty
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest
from glasscan.faults.fault_data import parts_of
from glasscan.learning.cases import atlas
from glasscan.learning.cases import generate as generator

from tests.cli.conftest import TOP, Cli
from tests.cli.exam_files import SECRET, make_words, typed
from tests.cli.test_assessed_case import DEEDS, case, made, own_cache, play, secret_of  # noqa: F401

KNOWING = (
    "glasscan.learning.exam.paper_marking",
    "glasscan.rig.rig",
    "glasscan.faults.observables",
)
"""Modules that work out keys from a run, or faults: a sitting has no use for them."""
LONGEST_S = 60.0


def surroundings(folder: Path) -> dict[str, str]:
    """Environment of a program with folders of its own, without secrets."""
    rest = {
        k: v
        for k, v in os.environ.items()
        if k not in ("GLASSCAN_PASSPHRASE", "GLASSCAN_DATA_DIR", "DISPLAY")
    }
    own = {f"XDG_{word}_HOME": str(folder / word.lower()) for word in ("DATA", "STATE", "CACHE")}
    named = {"HOME": str(folder), "TMPDIR": str(folder), "GLASSCAN_CACHE_DIR": str(folder / "cache")}
    return rest | own | named | {"PYTHONPATH": str(TOP / "sim")}


def begun(folder: Path, *words: str, lines: str) -> subprocess.Popen[bytes]:
    """A command that waits for the next line; what was typed so far has been taken."""
    process = subprocess.Popen(
        [sys.executable, "-m", "glasscan", *words],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=surroundings(folder),
        cwd=folder,
    )
    assert process.stdin is not None
    process.stdin.write(lines.encode())
    process.stdin.flush()
    return process


def heard(process: subprocess.Popen[bytes], word: str) -> str:
    """What it says until a line holds a word."""
    said = ""
    assert process.stdout is not None
    while word not in said:
        line = process.stdout.readline().decode()
        assert line, said
        said += line
    return said


def ended(process: subprocess.Popen[bytes]) -> None:
    """End a process that was begun here."""
    process.kill()
    process.communicate()


def family(pid: int) -> list[int]:
    """A process and all its children."""
    tasks = Path(f"/proc/{pid}/task").glob("*/children")
    children = [int(word) for path in tasks for word in path.read_text().split()]
    return [pid, *(one for child in children for one in family(child))]


def seen_of(pid: int) -> str:
    """What every program of this user can read of a process and its children."""
    found = []
    for one in family(pid):
        found += [Path(f"/proc/{one}/{name}").read_bytes() for name in ("environ", "cmdline", "comm")]
    return b"\0".join(found).decode(errors="replace")


linux = pytest.mark.skipif(not Path("/proc/self/environ").exists(), reason="reads Linux's /proc")


@pytest.fixture
def paper(cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, run_once: None) -> Path:
    """A sealed paper, its start word beside it."""
    del run_once
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", SECRET)
    told = cli(*make_words(tmp_path, tmp_path / "sealed.json", "--seal", "--json"))
    (tmp_path / "sealed.word").write_text(json.loads(told.out)["start_word"])
    return tmp_path / "sealed.json"


@pytest.fixture
def room(tmp_path: Path) -> Path:
    """A trainee's home, apart from the instructor's."""
    folder = tmp_path / "trainee"
    folder.mkdir()
    return folder


@linux
def test_a_sitting_shows_no_secret_to_other_programs(paper: Path, room: Path) -> None:
    """Neither arguments nor environment of it or a child hold the start word; there is no child."""
    word = paper.with_suffix(".word").read_text()
    process = begun(room, "exam", "sit", str(paper), "--who", "Ann", lines=f"{word}\n\n:list\n")
    try:
        heard(process, "Question 1")
        seen = seen_of(process.pid)
        assert family(process.pid) == [process.pid]
    finally:
        ended(process)
    assert "exam\0sit" in seen
    assert word not in seen
    assert word.split("-")[0] + "-" not in seen


@linux
def test_a_case_shows_no_secret_to_other_programs(case: Path, room: Path) -> None:  # noqa: F811
    """The same of an assessed case, and nothing of its fault."""
    word, code = case.with_suffix(".word").read_text(), secret_of(case).code
    shutil.copytree(atlas._folder(), room / "cache" / "cases")
    process = begun(room, "case", "--paper", str(case), "--who", "Ann", lines=f"{word}\nthink F06\nrelease\n")
    try:
        heard(process, "release: done")
        seen = seen_of(process.pid)
        assert family(process.pid) == [process.pid]
    finally:
        ended(process)
    assert word not in seen
    assert code not in seen


@linux
def test_a_typed_pass_phrase_stays_out_of_the_environment(tmp_path: Path) -> None:
    """`exam make --seal` at a terminal, the pass-phrase typed twice: no other program can read it."""
    words = [sys.executable, "-m", "glasscan", *make_words(tmp_path, tmp_path / "p.json", "--seal")]
    pid, terminal = pty.fork()
    if pid == 0:
        os.execve(sys.executable, words, surroundings(tmp_path))
    seen, said, typed_so_far = "", "", 0
    until = time.monotonic() + LONGEST_S
    while time.monotonic() < until:
        try:
            said += os.read(terminal, 4096).decode(errors="replace")
        except OSError:  # the other side has closed it
            break
        if typed_so_far < said.count("pass-phrase: ") + said.count("the same again: "):
            os.write(terminal, f"{SECRET}\n".encode())
            typed_so_far += 1
        seen += seen_of(pid)
    assert os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) == 0, said
    os.close(terminal)
    assert "start word: " in said
    assert SECRET not in seen
    assert SECRET not in said  # nor on the screen
    assert said.rpartition("start word: ")[2].split()[0] not in seen


def test_what_a_sitting_leaves_behind_holds_no_key(paper: Path, room: Path) -> None:
    """Home, temporary folder, cache and store after a sitting: no reason, no fact that a key comes from."""
    word = paper.with_suffix(".word").read_text()
    process = begun(
        room, "exam", "sit", str(paper), "--who", "Ann", lines=f"{word}\n\n:go 1\n12 kPa\n:end\nyes\n"
    )
    heard(process, "handed in")
    process.communicate()
    files = [path for path in room.rglob("*") if path.is_file()]
    assert any(path.name == "results.sqlite3" for path in files)
    for path in files:
        raw = path.read_bytes()
        for known in (b"Cold oil is thick", b"true_when", b"tol_rel", b"inlet minus outlet", word.encode()):
            assert known not in raw, path


def test_a_sitting_loads_nothing_that_knows_keys(paper: Path, room: Path) -> None:
    """No module that works out keys, marks or faults is loaded: timing has nothing to tell them by."""
    word = paper.with_suffix(".word").read_text()
    told = _loaded(room, ["exam", "sit", str(paper), "--who", "Ann"], f"{word}\n\n1\n2\n:end\nyes\n")
    assert not told & set(KNOWING)


def _loaded(room: Path, words: list[str], lines: str) -> set[str]:
    program = (
        "import sys; from glasscan.cli.main import main; code = main(sys.argv[1:]);"
        "print('\\nMODULES', *sorted(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, *words],
        input=lines,
        capture_output=True,
        text=True,
        env=surroundings(room),
        cwd=room,
        check=False,
    )
    assert "MODULES" in done.stdout, done.stderr
    return set(done.stdout.rpartition("MODULES")[2].split())


def test_an_answer_is_taken_alike_whether_right_or_wrong(
    cli: Cli, monkeypatch: pytest.MonkeyPatch, paper: Path
) -> None:
    """Right, wrong and slips of unit are acknowledged in the same words, and end in the same line."""
    told = []
    for who, line in (("Ann", "cracked"), ("Bo", "seated"), ("Cy", "other")):
        typed(
            monkeypatch,
            paper.with_suffix(".word").read_text(),
            "",
            ":go 1",
            line,
            ":go 2",
            line,
            ":end",
            "yes",
        )
        out, home = str(paper.parent / f"{who}.json"), str(paper.parent / who)
        said = cli("exam", "sit", str(paper), "--who", who, "--out", out, "--data-dir", home)
        told.append(
            [text.replace(line, "X").replace(who, "W") for text in said.out.splitlines() if "kept" in text]
        )
        assert said.code == 0
    assert told[0]
    assert told[0] == told[1] == told[2]


def test_the_verdict_is_taken_alike_whether_right_or_wrong(
    cli: Cli,
    monkeypatch: pytest.MonkeyPatch,
    case: Path,  # noqa: F811
) -> None:
    """After the verdict of an assessed case the same words, and results files of one length."""
    code = secret_of(case).code
    ends, sizes = [], []
    for who, verdict in (("Ann", code), ("Bob", "F06" if code != "F06" else "F12")):
        said = play(cli, monkeypatch, case, who, *DEEDS, f"verdict {verdict}")
        ends.append(said.out.rpartition("> ")[2].replace(who.lower(), "w").split("give the file")[0])
        sizes.append((case.parent / "handed" / f"{who}.results.json").stat().st_size)
    assert "instructor marks it" in ends[0]
    assert ends[0] == ends[1]
    assert abs(sizes[0] - sizes[1]) <= 4 * 8  # a code more or less, in letters of a box


def test_no_error_tells_where_a_sealed_case_was_altered(
    cli: Cli,
    monkeypatch: pytest.MonkeyPatch,
    case: Path,  # noqa: F811
) -> None:
    """Each of 24 places changed in the sheet gives the same line: no oracle to work with."""
    whole = json.loads(case.read_text())
    sheet = json.loads(whole["sheet"])
    lines = set()
    for place in range(24):
        letters = list(sheet["closed"])
        at = 4 + place * (len(letters) - 12) // 24
        letters[at] = "A" if letters[at] != "A" else "B"
        changed = whole | {"sheet": json.dumps(sheet | {"closed": "".join(letters)})}
        (case.parent / "changed.json").write_text(json.dumps(changed))
        typed(monkeypatch, case.with_suffix(".word").read_text())
        words = ("--who", "Ann", "--data-dir", str(case.parent / "Ann"))
        said = cli("case", "--paper", str(case.parent / "changed.json"), *words)
        assert (said.code, said.out) == (2, "")
        lines.add(said.err[-1])
    assert len(lines) == 1


def test_an_assessed_case_is_played_without_the_model_of_its_fault(
    cli: Cli,
    monkeypatch: pytest.MonkeyPatch,
    case: Path,  # noqa: F811
) -> None:
    """Nothing is worked out from a fault while it is played, so nothing can be timed."""
    read = secret_of(case)
    assert read.code

    def never(*_: object, **__: object) -> None:
        raise AssertionError("the fault was worked out while the case was played")

    for name in ("generate", "observe", "combined", "draw"):
        monkeypatch.setattr(generator, name, never)
    lines = (*DEEDS, "start", "test pressure-pattern", "stop", "verdict cannot-tell")
    assert play(cli, monkeypatch, case, "Ann", *lines).code == 0


def test_the_cache_is_the_same_whatever_is_hidden(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two cases of one filter and layout, other faults: the same files in the cache, byte by byte."""
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", SECRET)
    first, second = _two_of_a_kind(cli, tmp_path)
    left = []
    for path in (first, second):
        room = tmp_path / path.stem
        room.mkdir()
        shutil.copytree(atlas._folder(), room / "cache" / "cases")
        word = path.with_suffix(".word").read_text()
        lines = "\n".join((word, *DEEDS, "start", "test pressure-pattern", "verdict cannot-tell\n"))
        process = begun(room, "case", "--paper", str(path), "--who", "Ann", lines=lines)
        heard(process, "handed in")
        process.communicate()
        files = [p for p in (room / "cache").rglob("*") if p.is_file()]
        left.append({p.name: hashlib.sha256(p.read_bytes()).hexdigest() for p in files})
    assert left[0] == left[1]


def _two_of_a_kind(cli: Cli, folder: Path) -> tuple[Path, Path]:
    """Two cases with the regulator in one place and other faults."""
    seen: dict[str, Path] = {}
    for n in range(12):
        path = made(cli, folder / f"case-{n}.json")
        secret = secret_of(path)
        other = seen.get(secret.sheet.layout)
        if other is not None and secret_of(other).code != secret.code:
            return other, path
        seen[secret.sheet.layout] = path
    pytest.fail("twelve cases of one fault")


@pytest.mark.parametrize(
    "more", [("--level", "1"), ("--level", "3"), ("--solve",), ("--seed", "4"), ("--filter", "disc")]
)
def test_a_sealed_case_has_one_level(cli: Cli, case: Path, more: tuple[str, ...]) -> None:  # noqa: F811
    """It cannot be looked at on an easier level, nor solved: one line, before anything is asked."""
    said = cli("case", "--paper", str(case), "--who", "Ann", *more)
    assert (said.code, said.out, len(said.err)) == (2, "", 1)
    assert more[0] in said.err[0]


def test_levels_of_one_instructor_share_nothing(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cases of both levels made one after the other: other secrets, other readings, another number."""
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", SECRET)
    two = [secret_of(made(cli, tmp_path / f"l{n}.json", "--level", str(n), "--seed", "7")) for n in (2, 3)]
    assert two[0].secret != two[1].secret
    assert two[0].sheet.seed != two[1].sheet.seed
    assert two[0].sheet.complaint != two[1].sheet.complaint


def test_the_file_is_as_long_whatever_is_hidden(
    cli: Cli, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The sealed part does not tell by its length whether one fault stands in it or two."""
    monkeypatch.setenv("GLASSCAN_PASSPHRASE", SECRET)
    files = [made(cli, tmp_path / f"case-{n}.json", "--level", "3", "--name", "same") for n in range(6)]
    lengths = {len(json.loads(path.read_text())["secret"]) for path in files}
    assert len(lengths) == 1
    titles = [fault.title for path in files for fault in parts_of(secret_of(path).code)]
    assert not [t for t in titles for path in files if t in path.read_text()]


@pytest.fixture(autouse=True)
def _no_leftover(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each test begins without the number of a data folder in the environment."""
    monkeypatch.delenv("GLASSCAN_DATA_DIR", raising=False)
