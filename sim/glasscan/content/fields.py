"""Follow a validator's location through a model: the user's own path, the field there, and its siblings."""

from __future__ import annotations

import types
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel, RootModel
from pydantic.fields import FieldInfo

from glasscan.content.problems import Path

_LISTS = (list, tuple, set, frozenset, Sequence)


@dataclass(frozen=True)
class Spot:
    """A location in a model.

    Attributes:
        path: keys as they stand in the file (names of union members left out).
        owner: the model that holds the last key, or None.
        info: the field there, or None for an unknown key or an item of a list.
        kinds: the types allowed there.
    """

    path: Path
    owner: type[BaseModel] | None
    info: FieldInfo | None
    kinds: tuple[Any, ...]


def spot(model: type[BaseModel], loc: Sequence[str | int]) -> Spot:
    """Where a location of a validation error lies."""
    here = Spot((), None, None, expand(model))
    for part in loc:
        here = _step(here, part)
    return here


def _step(here: Spot, part: str | int) -> Spot:
    models = [k for k in here.kinds if _is_model(k)]
    if isinstance(part, int):
        return Spot((*here.path, part), None, None, _items(here.kinds))
    if len(models) > 1:
        member = next((m for m in models if part in tags(m) or m.__name__ == part), None)
        return Spot(here.path, here.owner, here.info, (member,)) if member else here
    if models:
        info = models[0].model_fields.get(part)
        return Spot((*here.path, part), models[0], info, expand(info.annotation) if info else ())
    if any(get_origin(k) is dict for k in here.kinds):
        return Spot((*here.path, part), None, None, _items(here.kinds))
    return here


def expand(annotation: Any) -> tuple[Any, ...]:
    """The plain types of an annotation: unions and root models opened, `Annotated` and None left out."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return expand(get_args(annotation)[0])
    if origin in (Union, types.UnionType):
        return tuple(k for member in get_args(annotation) for k in expand(member))
    if isinstance(annotation, type) and issubclass(annotation, RootModel):
        return expand(annotation.model_fields["root"].annotation)
    return () if annotation is type(None) else (annotation,)


def _items(kinds: tuple[Any, ...]) -> tuple[Any, ...]:
    found: tuple[Any, ...] = ()
    for kind in kinds:
        if get_origin(kind) in (*_LISTS, dict):
            members = [m for m in get_args(kind) if m is not Ellipsis]
            found += tuple(k for k in expand(members[-1])) if members else ()
    return found


def tags(model: type[BaseModel]) -> tuple[Any, ...]:
    """Words by which a member of a tagged union is known: values of its single-word fields."""
    words = [
        get_args(f.annotation) for f in model.model_fields.values() if get_origin(f.annotation) is Literal
    ]
    return tuple(w[0] for w in words if len(w) == 1)


def choices(kinds: tuple[Any, ...]) -> tuple[str, ...]:
    """Words allowed where only certain words are."""
    return tuple(str(w) for k in kinds if get_origin(k) is Literal for w in get_args(k))


def key_paths(model: type[BaseModel], path: Path = ()) -> Iterator[Path]:
    """Every path of keys of a model that does not pass through a list."""
    for name, info in model.model_fields.items():
        yield (*path, name)
        for kind in expand(info.annotation):
            if _is_model(kind):
                yield from key_paths(kind, (*path, name))


def _is_model(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, BaseModel)
