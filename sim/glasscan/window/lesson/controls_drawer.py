"""The drawer of controls, shown when asked for, page by page: rig, debris, view, class, beside, take away."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

import pygame

from glasscan.ui.display_units import SYSTEMS
from glasscan.ui.slider import Slider
from glasscan.ui.view_options import COLOURS, ViewOptions
from glasscan.ui.widgets import Button, Choice, Toggle, Widget
from glasscan.window.lesson.comparison import ComparisonRun
from glasscan.window.lesson.debris_controller import NUMBERS
from glasscan.window.lesson.lesson_session import LessonSession
from glasscan.window.lesson.start_card import StartCard

PLACES = ("after", "before")
LEAST_ROWS = 7.0  # a page with fewer controls does not stretch them

COLOUR_WORDS = {
    "pressure": "by pressure",
    "speed": "by speed",
    "unfiltered": "by unfiltered share",
    "held": "by dirt held",
}


def drawer_widgets(
    session: LessonSession,
    desk: ViewOptions,
    box: pygame.Rect,
    keepers: Sequence[tuple[str, Callable[[], None]]] = (),
    beside: ComparisonRun | None = None,
    shows: Sequence[tuple[str, Callable[[], None]]] = (),
) -> list[Widget]:
    """The controls of the open page, stacked in `box` from top to bottom; sliders get more height."""
    pages = _pages(session, desk)
    if shows:
        pages["class"] = lambda: [Button(f"show-{i}", t, act) for i, (t, act) in enumerate(shows)]
    if beside is not None and session.rivals:
        pages["beside"] = lambda: _beside(session, beside)
    if keepers:
        pages["take away"] = lambda: [Button(f"keep-{i}", t, act) for i, (t, act) in enumerate(keepers)]
    names = list(pages)
    desk.page = desk.page if desk.page in names else names[0]
    chooser = Choice(
        "page", "", names, lambda: desk.page, partial(setattr, desk, "page"), str.capitalize, wraps=True
    )
    widgets: list[Widget] = [chooser, *pages[desk.page]()]
    pad = max(8, box.w // 40)
    weights = [1.45 if isinstance(w, Slider) else 1.0 for w in widgets]
    gap = max(6, box.h // 110)
    unit = (box.h - 2 * pad - gap * (len(widgets) - 1)) / max(sum(weights), LEAST_ROWS)
    y = float(box.y + pad)
    for widget, weight in zip(widgets, weights, strict=True):
        widget.box = pygame.Rect(box.x + pad, round(y), box.w - 2 * pad, round(unit * weight))
        y += unit * weight + gap
    return widgets


def _pages(session: LessonSession, desk: ViewOptions) -> dict[str, Callable[[], list[Widget]]]:
    pages: dict[str, Callable[[], list[Widget]]] = {"rig": lambda: _rig(session, desk)}
    if session.remake is not None:
        pages["start again"] = lambda: StartCard(session).widgets(desk)
    if session.loose.possible:
        pages["debris"] = lambda: _debris(session, desk)
    pages["view"] = lambda: _view(desk)
    return pages


def _rig(session: LessonSession, desk: ViewOptions) -> list[Widget]:
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
    if session.has_scraper:
        widgets.append(
            Button("handle", "Turn the handle once (Q)", partial(session.change, "scraper_turns", 1.0))
        )
    return widgets


def _fluid(session: LessonSession) -> Widget:
    names = session.facts.fluids
    return Choice(
        "fluid",
        "Oil",
        list(names),
        lambda: session.engine.fluid,
        partial(session.change, "fluid"),
        lambda name: names.get(name, name),
    )


def _beside(session: LessonSession, rivalry: ComparisonRun) -> list[Widget]:
    """One button for each rival to compare with, and one that ends it; the faults one by one."""
    widgets: list[Widget] = [
        Button(
            f"beside-{i}",
            name[:1].upper() + name[1:] or "One filter alone",
            partial(rivalry.choose, name),
            partial(_same, rivalry, name),
        )
        for i, name in enumerate(["", *session.rivals])
    ]
    if session.faults:
        titles = list(session.faults)
        fault = Choice(
            "fault", "", titles, lambda: rivalry.fault, rivalry.choose_fault, wraps=True,
        )  # fmt: skip
        show = partial(rivalry.choose_fault, rivalry.fault)
        text = "Compare with a fault:"
        widgets += [Button("beside-fault", text, show, lambda: rivalry.name in session.faults), fault]
    return widgets


def _same(rivalry: ComparisonRun, name: str) -> bool:
    return rivalry.name == name


def _debris(session: LessonSession, desk: ViewOptions) -> list[Widget]:
    from glasscan.debris.debris_data import catalogue

    kinds = list(catalogue().kinds)
    return [
        Choice(
            "kind", "", kinds, lambda: desk.debris_kind, partial(setattr, desk, "debris_kind"),
            lambda key: key.replace("-", " "), wraps=True,
        ),
        Choice(
            "number", "Pieces", NUMBERS, lambda: desk.debris_number, partial(setattr, desk, "debris_number")
        ),
        Button("drop", "Drop them in (D)", lambda: session.drop(desk.debris_kind, int(desk.debris_number))),
        Button("take-out", "Take all out", session.take_out),
    ]  # fmt: skip


def _view(desk: ViewOptions) -> list[Widget]:
    names = [system.name for system in SYSTEMS]

    def put(key: str, value: Any) -> None:
        setattr(desk, key, value)

    return [
        Toggle("closer", "Closer look", lambda: desk.closer, partial(put, "closer")),
        Choice(
            "colours",
            "Colour",
            COLOURS,
            lambda: desk.colours,
            partial(put, "colours"),
            lambda kind: COLOUR_WORDS[kind],
            wraps=True,
        ),
        Toggle("still", "Less motion", lambda: desk.still, partial(put, "still")),
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
