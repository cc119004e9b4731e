"""Work beside the window: it comes back, it fails in one line, and it never outlives the window."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from glasscan.ui.worker_process import WorkerProcess
from glasscan.window.questions.key_run import AnswersAwaitedError, AnswersMissingError, KeyRun

from tests.window import labour


def wait(helper, least_s=60.0):
    """Poll as the window does until the work is settled."""
    end = time.monotonic() + least_s
    while helper.busy and time.monotonic() < end:
        helper.poll()
        time.sleep(0.01)
    return helper


def alive(pid):
    """Whether a process of that number still runs."""
    try:
        os.kill(pid, 0)
        state = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0]
    except OSError:
        return False
    return state != "Z"  # a dead process whose parent has not asked yet


def test_work_comes_back_with_its_result():
    """The result and the last share arrive by polling, from a process of another number."""
    helper = WorkerProcess(labour.double, 21)
    helper.start()
    wait(helper)
    assert (helper.done, helper.share, helper.trouble) == (True, 1.0, "")
    assert helper.result[0] == 42
    assert helper.result[1] != os.getpid()


def test_starting_does_not_wait_for_the_work():
    """The window goes on at once: nothing is there after the start, and polling does not wait."""
    helper = WorkerProcess(labour.sleep_long, 1)
    helper.start()
    start = time.monotonic()
    helper.poll()
    assert time.monotonic() - start < 1.0
    assert helper.busy
    assert not helper.done
    helper.stop()


@pytest.mark.parametrize(
    ("work", "told"), [("fail", "ValueError: no such oil"), ("vanish", "without an answer")]
)
def test_failing_work_is_one_line(work, told):
    """An exception, or a process that dies, leaves one line and no result."""
    helper = WorkerProcess(getattr(labour, work), 1)
    helper.start()
    wait(helper)
    assert not helper.done
    assert told in helper.trouble
    assert "\n" not in helper.trouble


def test_stop_leaves_no_process(tmp_path):
    """Closing the window ends the work."""
    note = tmp_path / "pid"
    helper = WorkerProcess(labour.note_and_sleep, str(note))
    helper.start()
    end = time.monotonic() + 60
    while not (note.exists() and note.read_text()) and time.monotonic() < end:
        time.sleep(0.02)
    pid = int(note.read_text())
    assert alive(pid)
    helper.stop()
    assert not alive(pid)


LEAVING = """
import os, sys, time
from glasscan.ui.worker_process import WorkerProcess
from tests.window import labour
if __name__ == "__main__":
    helper = WorkerProcess(labour.note_and_sleep, sys.argv[1])
    helper.start()
    while not os.path.exists(sys.argv[1]) or not open(sys.argv[1]).read():
        time.sleep(0.02)
    if sys.argv[2] == "dies":
        os._exit(3)
"""


@pytest.mark.parametrize("way", ["leaves", "dies"])
def test_work_ends_with_its_window(tmp_path, way):
    """A window's process that leaves without a word, or dies, takes the work with it."""
    note = tmp_path / "pid"
    env = os.environ | {"PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}
    script = tmp_path / "leaving.py"
    script.write_text(LEAVING)
    subprocess.run([sys.executable, str(script), str(note), way], env=env, check=False, timeout=120)
    pid = int(note.read_text())
    end = time.monotonic() + 20
    while alive(pid) and time.monotonic() < end:
        time.sleep(0.05)
    assert not alive(pid)


def keys(work):
    """The keys of a lesson, by made-up work."""
    return KeyRun("a scenario", None, work)


def test_marking_waits_for_the_run():
    """Until the run is there marking says how far it is; then it hands on the run, always the same."""
    run = keys(labour.double_text)
    with pytest.raises(AnswersAwaitedError, match="Working out"):
        run.log()
    wait(run.helper)
    assert run.log() == "a scenarioa scenario"
    assert run.log() is run.log()


def test_a_failed_run_is_told_and_may_be_tried_again():
    """A failure is one line; the next request starts again."""
    run = keys(labour.fail)
    run.begin()
    wait(run.helper)
    with pytest.raises(AnswersMissingError, match="could not be worked out"):
        run.log()
    with pytest.raises(AnswersAwaitedError):
        run.log()
    assert run.helper.busy
    run.stop()
