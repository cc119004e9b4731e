"""Files from another computer are told in one line and at once, whatever they hold.

Common practice, no source.
"""

from __future__ import annotations

import os
import time

import pytest

LIMIT_S = 20.0  # a start of the program and a refusal; before, some of these took minutes


@pytest.mark.parametrize("word", ["1" + "_" * 100_000 + "x", "-" + "1" * 100_000 + "x", "0" * 90_000 + "8"])
def test_a_word_like_a_number_is_refused_at_once(cli, tmp_path, word):
    """A pattern with overlapping repeats took four minutes for 250,000 characters."""
    path = tmp_path / "a.yaml"
    path.write_text(f"scenario: a\nend_s: {word}\n")
    begun = time.monotonic()
    done = cli("check", str(path))
    assert done.code == 2
    assert time.monotonic() - begun < LIMIT_S
    assert any("a.yaml:2:8: end_s" in line for line in done.err)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name here")
@pytest.mark.parametrize(
    "words",
    [
        ("check",),
        ("exam", "sit", "--who", "Wen"),
        ("case", "--text", "--resume"),
        ("class", "--out", "x"),
        ("open",),
    ],
    ids=lambda words: words[0],
)
def test_a_pipe_is_refused_and_not_waited_for(cli, tmp_path, words):
    """Nobody writes into it: whoever opens it to read would wait for ever."""
    pipe = tmp_path / "pipe.json"
    os.mkfifo(pipe)
    done = cli(*words, str(pipe))
    assert done.code == 2
    assert "plain file" in " ".join(done.err)


@pytest.mark.parametrize("sign", ["\u200b", "\u00ad", "\u200f", "\u061c", "\u3164", "\u2800", "\U000e0041"])
def test_characters_that_hide_are_refused(cli, tmp_path, sign):
    """Marks of no width and of direction (Unicode general category Cf), and letters that show nothing."""
    path = tmp_path / "a.yaml"
    path.write_text(f"scenario: a\ntitle: Cold{sign} start\n")
    done = cli("check", str(path))
    assert done.code == 2
    assert f"a.yaml:2:12: control character U+{ord(sign):04X}" in done.err[0]


def test_a_number_of_the_rig_out_of_range_is_told_by_check(cli, tmp_path):
    """`check` says what the window would meet: before, it said "fine" and the window ended."""
    from glasscan.paths import scenario_folder

    text = (scenario_folder() / "after-the-night.yaml").read_text()
    assert "housing.antidrain_leak_mm3" in text
    path = tmp_path / "after-the-night.yaml"
    lines = [
        line.split("to:")[0] + "to: -1}" if "housing.antidrain_leak_mm3" in line else line
        for line in text.splitlines()
    ]
    path.write_text("\n".join(lines) + "\n")
    done = cli("check", str(path))
    told = " ".join(done.err)
    assert done.code == 2
    assert "to: housing.antidrain_leak_mm3: " in told
    assert "greater than or equal to 0" in told
