"""Every bad state of a file gives one clear line with its place."""

from __future__ import annotations

import os
import tracemalloc
from pathlib import Path

import pytest
from glasscan.content import BadInput, load, load_text
from glasscan.content.text_reader import MAX_BYTES
from glasscan.filters.filter_data import FilterData
from glasscan.learning.scenario_schema import Scenario
from glasscan.paths import asset

from tests.world import SCENARIO

HEAD = SCENARIO.splitlines()
LINES = len(HEAD)


def lines_of(text: str, overrides: tuple[str, ...] = ()) -> tuple[str, ...]:
    """Messages for a text, which must be refused."""
    with pytest.raises(BadInput) as caught:
        load_text(text, "f.yaml", Scenario, overrides=overrides)
    return caught.value.lines


def changed(old: str, new: str) -> str:
    """The good scenario with one piece replaced, which must be there."""
    assert SCENARIO.count(old) == 1
    return SCENARIO.replace(old, new)


# (what is replaced, by what, the line expected)
ONE_LINE = {
    "unknown key": (
        "air_c: -5.0",
        "air_cc: -5.0",
        "f.yaml:7:1: air_cc: unknown key (did you mean 'air_c'?)",
    ),
    "key in another unit": (
        "air_c: -5.0",
        "air_f: 23",
        "f.yaml:7:1: air_f: unknown key: expected the value in °C, not in °F (did you mean 'air_c'?)",
    ),
    "key in the wrong place": (
        "air_c: -5.0",
        "regulator: before",
        "f.yaml:7:1: regulator: unknown key here: it belongs at plant.regulator "
        "(did you mean 'plant.regulator'?)",
    ),
    "value with another unit": (
        "air_c: -5.0",
        "air_c: 20 degF",
        "f.yaml:7:8: air_c: expected a number from -54 to 150 (°C), found text '20 degF': "
        "write the number alone, in °C: -6.667",
    ),
    "value of another kind": (
        "air_c: -5.0",
        "air_c: 12 psi",
        "f.yaml:7:8: air_c: expected a number from -54 to 150 (°C), found text '12 psi': "
        "the key takes °C, not psi",
    ),
    "decimal comma": (
        "air_c: -5.0",
        "air_c: -5,5",
        "f.yaml:7:8: air_c: expected a number from -54 to 150 (°C), found text '-5,5': "
        "write -5.5 without quotes, with a point",
    ),
    "quoted number": (
        "air_c: -5.0",
        "air_c: '4'",
        "f.yaml:7:8: air_c: expected a number from -54 to 150 (°C), found text '4': "
        "write 4 without quotes, with a point",
    ),
    "too hot": (
        "air_c: -5.0",
        "air_c: 151",
        "f.yaml:7:8: air_c: expected a number from -54 to 150 (°C), found 151",
    ),
    "nothing where a number is needed": (
        "air_c: -5.0",
        "air_c:",
        "f.yaml:7:7: air_c: expected a number from -54 to 150 (°C), found nothing",
    ),
    "truth value where a number is needed": (
        "air_c: -5.0",
        "air_c: true",
        "f.yaml:7:8: air_c: expected a number from -54 to 150 (°C), found true",
    ),
    "not a number": (
        "air_c: -5.0",
        "air_c: .nan",
        "f.yaml:7:8: air_c: '.nan' is no usable number: expected a finite number",
    ),
    "infinite": (
        "air_c: -5.0",
        "air_c: -.INF",
        "f.yaml:7:8: air_c: '-.INF' is no usable number: expected a finite number",
    ),
    "overflow": (
        "air_c: -5.0",
        "air_c: 1e999",
        "f.yaml:7:8: air_c: '1e999' is too large for a number: expected a finite number",
    ),
    "endless digits": (
        "air_c: -5.0",
        "air_c: " + "9" * 5000,
        "f.yaml:7:8: air_c: a number of 5000 characters: expected at most 40",
    ),
    "underscore in a number": (
        "end_s: 60",
        "end_s: 6_0",
        "f.yaml:13:8: end_s: write the number without '_', found '6_0'",
    ),
    "octal": (
        "end_s: 60",
        "end_s: 060",
        "f.yaml:13:8: end_s: '060' reads as octal or hexadecimal in some readers: "
        "write it as decimal, or quote it as text",
    ),
    "base 60": (
        "end_s: 60",
        "end_s: 1:00",
        "f.yaml:13:8: end_s: '1:00' reads as a number to the base 60 in some readers: "
        "write one number, or quote it as text",
    ),
    "no where text is meant": (
        "title: Morning",
        "title: no",
        "f.yaml:2:8: title: 'no' alone reads as true or false in some readers: "
        "write true or false, or quote it as text",
    ),
    "number where text is meant": (
        "title: Morning",
        "title: 12",
        "f.yaml:2:8: title: expected text of 1 to 200 characters, found 12",
    ),
    "empty text": (
        "title: Morning",
        "title: ''",
        "f.yaml:2:8: title: expected text of 1 to 200 characters, found empty text",
    ),
    "escapes that cannot be seen": (
        "title: Morning",
        r'title: "a\x1b[2Jb"',
        "f.yaml:2:8: title: text with characters that cannot be seen: delete the escapes",
    ),
    "half a surrogate pair": (
        "title: Morning",
        r'title: "a\ud800"',
        "f.yaml:2:8: title: text with characters that cannot be seen: delete the escapes",
    ),
    "id with a capital": (
        "filter: small-can",
        "filter: Small Can",
        "f.yaml:5:9: filter: expected text of at most 60 characters such as 'cold-start', "
        "found text 'Small Can'",
    ),
    "nearest word": (
        "regulator: after",
        "regulator: aftr",
        "f.yaml:10:14: plant.regulator: expected 'before' or 'after', found text 'aftr' "
        "(did you mean 'after'?)",
    ),
    "list where a mapping is needed": (
        "plant:\n  rig: small-rig\n  regulator: after",
        "plant: [1]",
        "f.yaml:8:8: plant: expected a mapping of keys, found a list",
    ),
    "mapping where a list is needed": (
        "  - {at_s: 2.0, set: rpm, to: 900, over_s: 3.0}",
        "  {at_s: 2.0}",
        "f.yaml:12:3: timeline: expected a list of at most 500 items, found a mapping of keys",
    ),
    "unknown control": (
        "set: rpm",
        "set: rmp",
        "f.yaml:12:22: timeline.0.set: expected one of rpm, air_c, regulator, fluid, plant, scraper_turns, "
        "drain_bowl, add_dirt_g, indicator_reset, found text 'rmp' "
        "(did you mean 'rpm'?)",
    ),
    "control not named": (
        "set: rpm, ",
        "",
        "f.yaml:12:5: timeline.0.set: missing key: expected one of rpm, air_c, regulator, fluid, plant, "
        "scraper_turns, drain_bowl, add_dirt_g, indicator_reset",
    ),
    "value inside a tagged member": (
        "to: 900",
        "to: fast",
        "f.yaml:12:31: timeline.0.to: expected a number from 0 to 6000, found text 'fast'",
    ),
    "unknown key inside a tagged member": (
        "over_s: 3.0",
        "over_min: 3.0",
        "f.yaml:12:36: timeline.0.over_min: unknown key: expected the value in s, not in min "
        "(did you mean 'over_s'?)",
    ),
    "missing key": (
        "fluid: thin-oil\n",
        "",
        "f.yaml:1:1: fluid: missing key: expected text of at most 60 characters such as 'cold-start'",
    ),
    "whole number": (
        "world: invented",
        "level: 1.5",
        "f.yaml:4:8: level: expected a whole number from 1 to 3, found 1.5",
    ),
    "duplicate key": (
        "end_s: 60",
        "air_c: 60",
        "f.yaml:13:1: air_c: duplicate key, it stands in line 7 already",
    ),
    "anchor": (
        "title: Morning",
        "title: &t Morning",
        "f.yaml:2:8: anchors and aliases (&name, *name) are not allowed: write the value out",
    ),
    "alias": (
        "title: Morning",
        "title: *t",
        "f.yaml:2:8: anchors and aliases (&name, *name) are not allowed: write the value out",
    ),
    "tag": (
        "title: Morning",
        "title: !!python/object/apply:os.getcwd []",
        "f.yaml:2:8: tags (!name) are not allowed: write the plain value",
    ),
    "merge key": (
        "world: invented",
        "<<: {level: 2}",
        "f.yaml:4:1: <<: unknown key: expected one of ",
    ),
    "key that is a list": (
        "world: invented",
        "? [a]\n: b",
        "f.yaml:4:3: expected a plain word as key",
    ),
    "tab": ("world: invented", "\tworld: invented", "f.yaml:4:1: a tab stands here: indent with spaces"),
    "second colon": (
        "about: A test.",
        "about: Note: a test.",
        "f.yaml:3:12: a second ':' on this line: quote the text, or check the indentation",
    ),
    "second document": (
        "world: invented",
        "---\nworld: invented",
        "f.yaml:4:1: expected one document, '---' starts a second one",
    ),
    "open quote": (
        "    unit: kPa\n",
        "    unit: 'kPa",
        f"f.yaml:{LINES}:15: a quote or bracket is opened and never closed",
    ),
}


@pytest.mark.parametrize("case", ONE_LINE)
def test_one_line_with_its_place(case: str) -> None:
    """A single mistake gives exactly one line, with line, column, key and what was expected."""
    old, new, expected = ONE_LINE[case]
    (line,) = lines_of(changed(old, new))
    assert line.startswith(expected) if expected.endswith(" ") else line == expected


def test_the_good_text_is_a_record() -> None:
    """The text that all cases are changed from is itself good, and the record cannot be changed."""
    record = load_text(SCENARIO, "f.yaml", Scenario)
    assert (record.air_c, record.plant.regulator, record.timeline[0].at_s) == (-5.0, "after", 2.0)
    with pytest.raises(ValueError, match="frozen"):
        record.air_c = 3.0  # type: ignore[misc]


def test_several_mistakes_in_order_of_lines() -> None:
    """Independent mistakes are all told, from the top of the file down."""
    text = (
        changed("air_c: -5.0", "air_c: hot").replace("end_s: 60", "end_s: 0").replace("set: rpm", "set: rp")
    )
    assert [line.split(": ")[0] for line in lines_of(text)] == ["f.yaml:7:8", "f.yaml:12:22", "f.yaml:13:8"]


def test_a_misspelt_needed_key_is_told_once() -> None:
    """A needed key that is misspelt is not reported as missing as well."""
    assert lines_of(changed("fluid: thin-oil", "fluit: thin-oil")) == (
        "f.yaml:6:1: fluit: unknown key (did you mean 'fluid'?)",
    )


def test_yaml_numbers_without_a_point() -> None:
    """`1e1` is the number ten, as in JSON and YAML 1.2, not a text as in YAML 1.1."""
    assert load_text(changed("end_s: 60", "end_s: 1e1"), "f", Scenario).end_s == 10.0


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "f.yaml:1:1: expected keys and values, the file is empty"),
        ("# only a remark\n", "f.yaml:1:1: expected keys and values, the file is empty"),
        ("- a\n", "f.yaml:1:1: expected keys with values (key: value) at the top, found a list"),
        ("word\n", "f.yaml:1:1: expected keys with values (key: value) at the top, found text 'word'"),
        ("a: " + "[" * 5000, "f.yaml:1:23: nested deeper than 20 levels"),
        ("a: {" * 5000, "f.yaml:1:77: nested deeper than 20 levels"),
        ("a: 1\nb: a\u202eb\n", "f.yaml:2:5: control character U+202E: delete it"),
        ("a: 1\r\nb: \x07\r\n", "f.yaml:2:4: control character U+0007: delete it"),
    ],
)
def test_files_of_the_wrong_shape(text: str, expected: str) -> None:
    """Empty, flat, deep and unprintable texts give one line each."""
    assert lines_of(text) == (expected,)


@pytest.mark.parametrize(
    ("raw", "expected"),
    [
        (b"\xef\xbb\xbfa: 1", "1:1: starts with a byte order mark: save the file as UTF-8 without it"),
        ("a: 1".encode("utf-16"), "1:1: expected plain UTF-8 text, this looks like UTF-16: save it as UTF-8"),
        (b"a: 1\nb: 5 \xb0C\n", "2:6: byte 0xb0 is not UTF-8: save the file as UTF-8"),
        (b"a: \x00", "1:4: control character U+0000: delete it"),
        (b"a" * (MAX_BYTES + 1), f" larger than {MAX_BYTES} bytes, expected a file written by hand"),
    ],
)
def test_bytes_that_are_no_text(tmp_path: Path, raw: bytes, expected: str) -> None:
    """Marks, other encodings, zero bytes and huge files give one line with the place."""
    path = tmp_path / "f.yaml"
    path.write_bytes(raw)
    with pytest.raises(BadInput) as caught:
        load(path, Scenario)
    assert caught.value.lines == (f"{path}:{expected}",)


def test_paths_that_are_no_file(tmp_path: Path) -> None:
    """A missing file, a folder, a pipe and a name that cannot exist give one line each, without waiting."""
    pipe = tmp_path / "pipe.yaml"
    os.mkfifo(pipe)
    wrong = {
        tmp_path / "none.yaml": "no such file",
        tmp_path: "expected a file, this is a folder",
        pipe: "expected a plain file, this is a device or a pipe",
        Path("/dev/zero"): "expected a plain file, this is a device or a pipe",
        tmp_path / ("x" * 300): "cannot be read: File name too long",
    }
    for path, expected in wrong.items():
        with pytest.raises(BadInput) as caught:
            load(path, Scenario)
        assert caught.value.lines == (f"{path}: {expected}",)


def test_many_problems_are_cut() -> None:
    """A file with hundreds of mistakes gives twenty lines and how many more there are."""
    text = SCENARIO + "".join(f"zz{i}: 1\n" for i in range(300))
    lines = lines_of(text)
    assert len(lines) == 21
    assert lines[-1] == "... and 280 more problems"


def test_a_wide_file_takes_bounded_memory() -> None:
    """A file of the largest size made of the smallest nodes is refused with little memory."""
    text = "a: [" + "1," * 120_000 + "]"
    tracemalloc.start()
    try:
        assert lines_of(text) == ("f.yaml:1:39999: more than 20000 keys and values",)
        assert tracemalloc.get_traced_memory()[1] < 60e6
    finally:
        tracemalloc.stop()


def test_names_of_files_stay_on_one_line(tmp_path: Path) -> None:
    """A line break or an escape in a file's name cannot break the message."""
    with pytest.raises(BadInput) as caught:
        load(tmp_path / "a\nb\x1b[31m.yaml", Scenario)
    assert len(str(caught.value).splitlines()) == 1
    assert "\x1b" not in str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            "kind: can\n",
            "kind: cann\n",
            ":7: kind: expected one of can, cartridge, disc, found text 'cann'",
        ),
        (
            "plate_mm: 4.0",
            "plate_mm: 4 psi",
            ":13: base.plate_mm: expected a number above 0.5 at most 20 (mm), ",
        ),
        ("holes: 8", "hols: 8", ":3: base.hols: unknown key (did you mean 'holes'?)"),
        ("outer_radius_mm: ", "outer_radius_mm: 1", ":1: the element must fit inside the shell"),
    ],
)
def test_files_that_are_one_of_several_kinds(tmp_path: Path, old: str, new: str, expected: str) -> None:
    """A filter's file, whose keys depend on its kind, is explained in the words of its kind."""
    text = asset("filters", "can-full-flow.yaml").read_text(encoding="utf-8")
    assert text.count(old) == 1
    path = tmp_path / "f.yaml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        load(path, FilterData)
    assert expected in caught.value.lines[0]
