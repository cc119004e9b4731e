"""Oils, filters, rigs and scenarios as files: what there is, and the one asked for."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeVar

from pydantic import BaseModel

from glasscan.content import BadInput, load, nearest
from glasscan.learning.fluid_data import FluidData
from glasscan.paths import asset, own_content, scenario_folder

if TYPE_CHECKING:
    from glasscan.filters.filter_data import CanData, CartridgeData, DiscStackData
    from glasscan.laws.fluid import Fluid
    from glasscan.rig.plant_data import PlantData

MOST_NAMED = 8  # names that one line of a message lists
Kind = Literal["fluids", "filters", "plants"]
Model = TypeVar("Model", bound=BaseModel)


def names(kind: Kind) -> tuple[str, ...]:
    """Names of the data files of one kind, an author's own among them, sorted."""
    return tuple(sorted({*_stems(asset(kind)), *_stems(own_content(kind))}))


def data_path(kind: Kind, name: str) -> Path:
    """The file of a name: an author's own before the shipped one."""
    own = own_content(kind) / f"{name}.yaml"
    return own if own.is_file() else asset(kind, f"{name}.yaml")


def own_lessons() -> tuple[str, ...]:
    """Names of the author's own lessons, sorted."""
    return _stems(own_content("lessons"))


def scenario_titles() -> dict[str, str]:
    """Titles of the shipped lessons by id, read from that one line: a list need not read whole lessons."""
    found = {}
    for name in scenario_names():
        text = scenario_path(name).read_text(encoding="utf-8")
        line = next((line for line in text.splitlines() if line.startswith("title:")), "")
        found[name] = line.removeprefix("title:").strip().strip("\"'") or name
    return found


def scenario_names() -> tuple[str, ...]:
    """Names of the shipped scenarios, sorted."""
    return _stems(scenario_folder())


def load_fluid(name: str) -> Fluid:
    """An oil by name.

    Raises:
        BadInput: there is none of that name, or its file is bad.
    """
    from glasscan.laws.fluid import Fluid

    data = _data("fluids", name, FluidData)
    try:
        return Fluid.from_mapping(data.model_dump())
    except ValueError as error:
        raise BadInput([f"{data_path('fluids', name)}: {error}"]) from None


def load_filter(name: str) -> CanData | CartridgeData | DiscStackData:
    """Sizes of a filter by name.

    Raises:
        BadInput: there is none of that name, or its file is bad.
    """
    from glasscan.filters.filter_data import FilterData

    return _data("filters", name, FilterData).root


def load_plant(name: str) -> PlantData:
    """Numbers of a rig by name.

    Raises:
        BadInput: there is none of that name, or its file is bad.
    """
    from glasscan.rig.plant_data import PlantData

    return _data("plants", name, PlantData)


def scenario_path(word: str) -> Path:
    """File of a scenario: a path, or the id of a shipped one.

    Raises:
        BadInput: neither; with the nearest id.
    """
    if word in own_lessons():
        return own_content("lessons") / f"{word}.yaml"
    if word in scenario_names():
        return scenario_folder() / f"{word}.yaml"
    path = Path(word)
    if path.suffix in (".yaml", ".yml") or path.exists():
        return path
    known = scenario_names()
    near = nearest(word, known)
    meant = f" (did you mean {near!r}?)" if near else ""
    raise BadInput([f"{word}: expected a file NAME.yaml or one of {_few(known)}{meant}"])


def _few(known: tuple[str, ...]) -> str:
    """Names that fit in a line, or how many there are."""
    if len(known) > MOST_NAMED:
        return f"the {len(known)} shipped lessons, such as {known[0]}"
    return ", ".join(known) or "none"


def _data(kind: Kind, name: str, model: type[Model]) -> Model:
    known = names(kind)
    if name not in known:
        near = nearest(name, known)
        meant = f" (did you mean {near!r}?)" if near else ""
        raise BadInput([f"{kind}: expected one of {', '.join(known) or 'none'}, found '{name}'{meant}"])
    return load(data_path(kind, name), model)


def _stems(folder: Path) -> tuple[str, ...]:
    return tuple(sorted(p.stem for p in folder.glob("*.yaml")))
