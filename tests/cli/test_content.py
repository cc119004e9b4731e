"""Every kind of data file: checked as what it is, told to editors, an author's own found first."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
import yaml
from glasscan.paths import DATA_DIR, asset, scenario_folder
from jsonschema import Draft202012Validator

FILES = sorted(p for p in asset().rglob("*.yaml") if p.name != "lesson-starter.yaml")


@pytest.mark.parametrize("path", FILES, ids=lambda p: f"{p.parent.name}/{p.name}")
def test_every_shipped_data_file_is_checked_as_what_it_is(cli, path):
    """Before, a good file of faults gave sixty-one problems: it was taken for a lesson."""
    done = cli("check", str(path))
    assert (done.code, done.err) == (0, ())


@pytest.mark.parametrize("path", FILES, ids=lambda p: f"{p.parent.name}/{p.name}")
def test_an_unknown_key_is_told_in_every_kind(cli, tmp_path, path):
    """One line with the place, whatever the kind of file."""
    folder = tmp_path / path.parent.name
    folder.mkdir()
    copy = folder / path.name
    copy.write_text(path.read_text(encoding="utf-8") + "\nno-such-key: 1\n", encoding="utf-8")
    done = cli("check", str(copy))
    assert done.code == 2
    assert any("no-such-key" in line and f"{path.name}:" in line for line in done.err)


@pytest.fixture(scope="module")
def schema() -> Draft202012Validator:
    """The schema of lessons as an editor's validator takes it (JSON Schema 2020-12)."""
    from glasscan.cli.schema import scenario_schema

    Draft202012Validator.check_schema(scenario_schema())
    return Draft202012Validator(scenario_schema())


def lesson() -> dict:
    """The main lesson as plain data."""
    return yaml.safe_load((scenario_folder() / "cold-start.yaml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", sorted(scenario_folder().glob("*.yaml")), ids=lambda p: p.stem)
def test_shipped_lessons_fit_the_schema(schema, path):
    """What `check` calls fine, the editor does too."""
    assert [e.message for e in schema.iter_errors(yaml.safe_load(path.read_text(encoding="utf-8")))] == []


BROKEN = {
    "fluid": lambda d: d.update(fluid="sae-5O-mineral"),
    "filter": lambda d: d.update(filter="can-full-flaw"),
    "rig": lambda d: d["plant"].update(rig="piston-singel"),
    "regulator": lambda d: d["plant"].update(regulator="behind"),
    "code": lambda d: d.update(codes=["acs-iii-g-k99"]),
    "event": lambda d: d["notes"].append({"event": "bypass-craks", "say": "x"}),
    "kind": lambda d: d["prompts"][0].update(kind="predict-then-wach"),
    "form": lambda d: d["prompts"][0]["answer"].update(form="choise"),
    "fact": lambda d: d["prompts"][0]["answer"]["choices"][0].update(true_when=[{"fact": "nevr"}]),
    "set": lambda d: d["timeline"].append({"at_s": 1, "set": "rpn", "to": 3}),
    "trace": lambda d: d["prompts"].append(
        d["prompts"][1] | {"id": "t", "quantity": {"of": "value-at-time", "trace": "dpp_kpa", "at_s": 3}}
    ),
    "unknown key": lambda d: d.update(air_f=3),
    "missing key": lambda d: d.pop("title"),
    "text for a number": lambda d: d.update(end_s="long"),
    "level": lambda d: d.update(level=9),
    "fault": lambda d: d.update(faults=[{"fault": "F99", "severity": 0.5}]),
    "severity": lambda d: d.update(faults=[{"fault": "F06", "severity": 5}]),
}
"""Slips that authors make; what no schema can say (an id twice, a time after the end) stays with `check`."""


@pytest.mark.parametrize("slip", BROKEN)
def test_the_editor_sees_the_slip(schema, slip):
    """The schema refuses it; before, words that do not exist passed."""
    data = lesson()
    assert schema.is_valid(data)
    BROKEN[slip](data)
    assert not schema.is_valid(data)


def test_the_manual_can_be_read(cli):
    """`list manual` prints every line by the name that questions cite."""
    rows = json.loads(cli("list", "manual", "--json").out)["manual"]
    assert rows["piston.pressure-time"].endswith("30 s (from the moment the starter turns, any temperature).")
    assert {name.partition(".")[0] for name in rows} >= {"piston", "radial", "debris"}


def test_the_editor_offers_what_exists_and_says_what_it_means(schema):
    """Completion of oils, and meaning and unit of a key."""
    keys = schema.schema["properties"]
    assert "sae-50-mineral" in keys["fluid"]["enum"]
    assert "temperature of the air" in keys["air_c"]["description"]
    assert "°C" in keys["air_c"]["description"]


def test_schemas_of_the_other_kinds(cli):
    """Each kind has one; a wrong word is told with the nearest."""
    for word in json.loads(cli("list", "files", "--json").out)["files"]:
        Draft202012Validator.check_schema(json.loads(cli("schema", word, "--json").out))
    assert "did you mean 'fault'" in cli("schema", "fualt").err[0]


def test_an_authors_own_files_are_found_first(cli, tmp_path, monkeypatch):
    """A lesson and an oil of one's own by name; both are listed."""
    monkeypatch.setenv(DATA_DIR, str(tmp_path))
    own = tmp_path / "content"
    for folder in ("lessons", "fluids"):
        (own / folder).mkdir(parents=True)
    text = (scenario_folder() / "cold-start.yaml").read_text(encoding="utf-8")
    mine = text.replace("scenario: cold-start", "scenario: my-morning").replace("sae-50-mineral", "my-oil")
    (own / "lessons" / "my-morning.yaml").write_text(mine, encoding="utf-8")
    shutil.copy(asset("fluids", "sae-40-mineral.yaml"), own / "fluids" / "my-oil.yaml")
    oil = own / "fluids" / "my-oil.yaml"
    oil.write_text(
        oil.read_text(encoding="utf-8").replace("name: sae-40-mineral", "name: my-oil"), encoding="utf-8"
    )
    assert cli("check", "my-morning").code == 0
    assert "my-morning" in json.loads(cli("list", "lessons", "--json").out)["lessons"]
    assert "my-oil" in json.loads(cli("words", "fluid", "--json").out)["fluid"]
    assert Path(own).is_dir()
