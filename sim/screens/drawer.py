"""The drawer of controls, shown when asked for: weather, oil, shaft speed, regulator and the view."""

from __future__ import annotations

from functools import partial
from typing import Any

import pygame

from sim.screens.desk import Desk
from sim.screens.quantities import SYSTEMS
from sim.screens.session import Session
from sim.screens.widgets import Button, Choice, Slider, Toggle, Widget

PLACES = ("after", "before")


def drawer_widgets(session: Session, desk: Desk, box: pygame.Rect) -> list[Widget]:
    """All controls, stacked in `box` from top to bottom; sliders get more height than the others."""
    widgets = [*_rig(session, desk), *_view(desk)]
    pad = max(8, box.w // 40)
    weights = [1.45 if isinstance(w, Slider) else 1.0 for w in widgets]
    gap = max(6, box.h // 110)
    unit = (box.h - 2 * pad - gap * (len(widgets) - 1)) / sum(weights)
    y = float(box.y + pad)
    for widget, weight in zip(widgets, weights, strict=True):
        widget.box = pygame.Rect(box.x + pad, round(y), box.w - 2 * pad, round(unit * weight))
        y += unit * weight + gap
    return widgets


def _rig(session: Session, desk: Desk) -> list[Widget]:
    facts, unit = session.facts, desk.units.temperature
    low, high = (round(unit.shown(c)) for c in facts.air_c)
    widgets: list[Widget] = [
        Slider(
            "air",
            "Air",
            low,
            high,
            1,
            lambda: unit.shown(session.snapshot.air_c),
            lambda v: session.change("air_c", unit.si(v)),
            unit.sign,
        ),
        Slider(
            "rpm",
            "Shaft",
            0,
            facts.rpm_max,
            50,
            lambda: session.snapshot.rpm,
            partial(session.change, "rpm"),
            "rpm",
        ),
    ]
    if facts.fluids:
        widgets.append(_fluid(session))
    widgets.append(
        Choice(
            "regulator",
            "Regulator",
            PLACES,
            lambda: "before" if session.snapshot.regulator_before else "after",
            partial(session.change, "regulator"),
            lambda place: f"{place} filter",
        )
    )
    return widgets


def _fluid(session: Session) -> Widget:
    names = session.facts.fluids
    return Choice(
        "fluid",
        "Oil",
        list(names),
        lambda: session.engine.fluid,
        partial(session.change, "fluid"),
        lambda name: names.get(name, name),
    )


def _view(desk: Desk) -> list[Widget]:
    names = [system.name for system in SYSTEMS]

    def put(key: str, value: Any) -> None:
        setattr(desk, key, value)

    return [
        Toggle("closer", "Closer look", lambda: desk.closer, partial(put, "closer")),
        Toggle("names", "Part names", lambda: desk.names, partial(put, "names")),
        Choice(
            "units",
            "",
            names,
            lambda: desk.units.name,
            lambda name: put("units_index", names.index(name)),
            wraps=True,
        ),
        Toggle(
            "theme",
            "Theme",
            lambda: desk.theme == "light",
            lambda light: put("theme", "light" if light else "dark"),
            ("dark", "light"),
        ),
        Choice(
            "text",
            "Text",
            ("-", "+"),
            lambda: "",
            lambda way: desk.larger(1 if way == "+" else -1),
            lambda _: f"{desk.text_scale:.0%}",
        ),
        Button("help", "All keys (?)", partial(put, "help", True)),
    ]
