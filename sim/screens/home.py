"""The first screen: what do you want to do, with which filter, and where did you leave off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import pygame

from sim.screens.canvas import DESIGN_H, DESIGN_W, Canvas
from sim.screens.desk import Desk
from sim.screens.filterpics import as_surface, kept, work_out
from sim.screens.helper import Helper
from sim.screens.keyhelp import TEACHING, draw_home_help
from sim.screens.layout import Measure
from sim.screens.leftoff import LeftOff, Mode
from sim.screens.quantities import clock
from sim.screens.shelf import Entry, Shelf
from sim.screens.shelfwidgets import Card, EntryList
from sim.screens.theme import THEMES, load_theme
from sim.screens.ways import Way, of_mode
from sim.screens.widgets import ENTER, Button, Form, Widget

MODES: tuple[tuple[Mode, str, str], ...] = (
    ("demonstrate", "Demonstrate", "Show a class: run it, stop it, name the parts."),
    ("practise", "Practise", "Say first what will happen, then watch and compare."),
    ("exam", "Prepare for the exam", "Answer alone; the marks come at the end."),
)
WELCOME = "See inside an oil filter while it works."
SHOWN = 3  # filters side by side


@dataclass(frozen=True)
class Wanted:
    """What was chosen: a scenario (id or file), a mode, and whether to go on where it was left.

    A `way` other than "" stands for one of the other ways in; there is no scenario then.
    """

    scenario: str
    mode: Mode
    resume: bool = False
    way: str = ""


class Home:
    """Draws the choice and takes it; `wanted` is set once it is made."""

    def __init__(self, desk: Desk, shelf: Shelf, left: LeftOff, trouble: str = "") -> None:
        self.desk, self.shelf, self.left, self.trouble = desk, shelf, left, trouble
        self.mode: Mode = left.mode
        self.wanted: Wanted | None = None
        self.form = Form()
        self.quit = self.fullscreen = False
        self.painter: Helper | None = None
        self._pictures: dict[tuple[str, str], pygame.Surface] = {}
        self._looked: set[str] = set()
        self._scaled: dict[object, pygame.Surface] = {}
        self._built: tuple[object, ...] = ()
        self._eager = False

    @property
    def leave(self) -> bool:
        """True once something was chosen."""
        return self.wanted is not None

    # --- events ------------------------------------------------------------------------------------

    def handle(self, event: pygame.event.Event) -> None:
        """One event: a sheet on top, then the widgets, then the keys of the screen."""
        if event.type == pygame.QUIT:
            self.quit = True
        elif self.desk.help:
            if event.type in (pygame.KEYDOWN, pygame.MOUSEBUTTONDOWN):
                self.desk.help = False
        elif not self.form.handle(event) and event.type == pygame.KEYDOWN:
            self._key(event)

    def _key(self, event: pygame.event.Event) -> None:
        self._eager = event.key in ENTER and not self.shelf.ready
        word = getattr(event, "unicode", "").lower()
        name = pygame.key.name(event.key).lower()
        desk = self.desk
        acts: dict[str, Callable[[], object]] = {
            "t": desk.next_theme,
            "u": desk.next_units,
            "+": partial(desk.larger, 1),
            "=": partial(desk.larger, 1),
            "-": partial(desk.larger, -1),
            "?": partial(setattr, desk, "help", True),
            "f1": partial(setattr, desk, "help", True),
            "f11": partial(setattr, self, "fullscreen", not self.fullscreen),
            "c": self._carry_on,
        }
        acts |= {str(i + 1): partial(self._choose, mode) for i, (mode, _, _) in enumerate(MODES)}
        act = acts.get(word) or acts.get(name)
        if act is not None:
            act()

    def _choose(self, mode: Mode) -> None:
        self.mode = mode

    def _is(self, mode: Mode) -> bool:
        return self.mode == mode

    def _open(self, entry: Entry) -> None:
        self.wanted = Wanted(entry.scenario, self.mode)

    def _take_way(self, way: Way) -> None:
        self.wanted = Wanted("", self.mode, way=way.word)

    def _carry_on(self) -> None:
        if self.left.scenario:
            self.wanted = Wanted(self.left.scenario, self.left.mode, True)

    def update(self, wall_s: float) -> None:
        """See what the painter beside the window has brought."""
        del wall_s
        if self._eager and self.shelf.ready:  # Enter came while the lessons were being read
            first = next((e for name in self.shelf.filters for e in self.shelf.of(name)), None)
            self._eager = False
            if first is not None:
                self._open(first)
        names = tuple(self.shelf.filters)
        if self.shelf.ready and self.desk.theme not in self._looked:
            self._looked.add(self.desk.theme)
            self._take({(n, self.desk.theme): d for n, d in kept(names, self.desk.theme).items()})
            missing = [n for n in names if (n, self.desk.theme) not in self._pictures]
            if missing and self.painter is None:
                self.painter = Helper(work_out, missing, THEMES)
                self.painter.start()
        if self.painter is not None and not self.painter.done:
            self.painter.poll()
            if self.painter.done:
                self._take(self.painter.result)

    def _take(self, pictures: dict[tuple[str, str], bytes]) -> None:
        for key, data in pictures.items():
            picture = as_surface(data)
            if picture is not None:
                self._pictures[key] = picture

    def close(self) -> None:
        """Stop what still goes on beside the window."""
        if self.painter is not None:
            self.painter.stop()

    # --- picture -----------------------------------------------------------------------------------

    def layout(self, size: tuple[int, int]) -> dict[str, pygame.Rect]:
        """Boxes: the head, three modes, one column for each filter, the line about, the foot."""
        m = Measure(min(size[0] / DESIGN_W, size[1] / DESIGN_H), self.desk.text_scale)
        margin, gap = m.dp(48), m.dp(20)
        w = size[0] - 2 * margin
        boxes = {"head": pygame.Rect(margin, m.dp(22), w, m.tp(62))}
        third = (w - 2 * gap) // 3
        y = boxes["head"].bottom + m.dp(12)
        for i, (mode, _, _) in enumerate(MODES):
            boxes[mode] = pygame.Rect(margin + i * (third + gap), y, third, m.tp(118))
        foot = pygame.Rect(margin, size[1] - m.dp(20) - m.tp(60), w, m.tp(60))
        boxes["foot"] = foot
        boxes["about"] = pygame.Rect(margin, foot.y - m.dp(12) - m.tp(98), w, m.tp(98))
        top = boxes["exam"].bottom + gap
        ways = of_mode(self.mode)
        for i, way in enumerate(ways):
            wide = (w - (len(ways) - 1) * gap) // len(ways)
            boxes[f"way-{way.word}"] = pygame.Rect(margin + i * (wide + gap), top, wide, m.tp(66))
        top += m.tp(66) + gap if ways else 0
        for i in range(SHOWN):
            h = boxes["about"].y - m.dp(12) - top
            boxes[f"column{i}"] = pygame.Rect(margin + i * (third + gap), top, third, h)
        return boxes

    def _build(self, canvas: Canvas, boxes: dict[str, pygame.Rect]) -> None:
        size, text = canvas.surface.get_size(), canvas.text_scale
        key = (size, text, tuple(self.shelf.filters), self.shelf.ready, self.mode)
        if key == self._built:
            return
        self._built = key
        focus = self.form.focused.name if self.form.focused else None
        lists = self._lists(canvas, boxes)
        ways = self._ways(boxes)
        self.form = Form([*lists, *ways, *self._modes(boxes), *self._foot(canvas, boxes["foot"])])
        first = next((w.name for w in lists if isinstance(w, EntryList) and w.entries()), None)
        self.form.focus_on(focus or first)

    def _modes(self, boxes: dict[str, pygame.Rect]) -> list[Widget]:
        return [
            Card(
                mode, f"{i + 1}  {title}", partial(self._choose, mode), partial(self._is, mode),
                under=text, box=boxes[mode],
            )
            for i, (mode, title, text) in enumerate(MODES)
        ]  # fmt: skip

    def _ways(self, boxes: dict[str, pygame.Rect]) -> list[Widget]:
        return [
            Button(f"way-{w.word}", w.title, partial(self._take_way, w), box=boxes[f"way-{w.word}"])
            for w in of_mode(self.mode)
        ]

    def _lists(self, canvas: Canvas, boxes: dict[str, pygame.Rect]) -> list[Widget]:
        lists: list[Widget] = []
        places = {w.label: w.at for w in self.form.widgets if isinstance(w, EntryList)}
        for i, name in enumerate(list(self.shelf.filters)[:SHOWN]):
            _, _, room = _parts_of(canvas, boxes[f"column{i}"], self._short(name))
            lists.append(
                EntryList(
                    f"list-{name}", name, partial(self.shelf.of, name), self._open,
                    box=room, row_h=canvas.tp(104), at=places.get(name, 0),
                )
            )  # fmt: skip
        return lists

    def _foot(self, canvas: Canvas, foot: pygame.Rect) -> list[Widget]:
        wide, gap = canvas.tp(190), canvas.dp(16)
        right = pygame.Rect(foot.right - wide, foot.y, wide, foot.h)
        widgets: list[Widget] = [
            Button(
                "theme", "", self.desk.next_theme, caption=self._theme_word, box=right.move(-wide - gap, 0)
            ),
            Button("help", "Keys (?)", partial(setattr, self.desk, "help", True), box=right),
        ]
        if self.left.scenario:
            box = pygame.Rect(foot.x, foot.y, 0, foot.h)
            box.w = min(canvas.measure(self._carry_word(), bold=True)[0] + canvas.dp(60), foot.w // 2)
            widgets.insert(0, Button("carry-on", "", self._carry_on, caption=self._carry_word, box=box))
        return widgets

    def _theme_word(self) -> str:
        return "Light (T)" if self.desk.theme == "dark" else "Dark (T)"

    def _carry_word(self) -> str:
        return f"Carry on (C): {self.left.title}, {clock(self.left.t_s).removesuffix('.0')}"

    def draw(self, surface: pygame.Surface, drawn_s: float = 0.0) -> Canvas:
        """Draw one frame."""
        del drawn_s
        canvas = Canvas(surface, load_theme(self.desk.theme), self.desk.text_scale)
        surface.fill(canvas.theme["paper"])
        boxes = self.layout(surface.get_size())
        self._build(canvas, boxes)
        self._draw_head(canvas, boxes["head"])
        for i, name in enumerate(list(self.shelf.filters)[:SHOWN]):
            self._draw_filter(canvas, boxes[f"column{i}"], name)
        self._draw_about(canvas, boxes["about"])
        self._draw_teaching(canvas, boxes["foot"])
        self.form.draw(canvas)
        if self.desk.help:
            draw_home_help(canvas)
        return canvas

    def _draw_head(self, canvas: Canvas, box: pygame.Rect) -> None:
        w = canvas.measure("Glasscan", "number", True)[0]
        canvas.text("Glasscan", box, role="number", bold=True, colour="ink")
        rest = pygame.Rect(box.x + w + canvas.dp(36), box.y, box.w - w - canvas.dp(36), box.h)
        canvas.text(WELCOME, rest, role="title", colour="soft", wrap=True)

    def _draw_filter(self, canvas: Canvas, box: pygame.Rect, name: str) -> None:
        canvas.panel(box, "sheet", "edge", 14, 2)
        text = self._short(name)
        title, place, room = _parts_of(canvas, box, text)
        canvas.text(text, title, bold=True, wrap=True, colour="accent")
        picture = self._pictures.get((name, self.desk.theme))
        if picture is not None:
            scaled = self._fit(picture, place)
            canvas.surface.blit(scaled, scaled.get_rect(midtop=place.midtop))
        else:
            share = self.painter.share if self.painter else 0.0
            words = f"Drawing the filter… {share:.0%}" if self.painter else "…"
            if self.painter and self.painter.trouble:
                words = "No picture."
            canvas.text(words, place, colour="soft", wrap=True, align="centre")
        if not self.shelf.of(name):
            words = "No lesson for this filter yet." if self.shelf.ready else "Reading the lessons…"
            canvas.text(words, room, colour="soft", wrap=True, valign="top")

    def _short(self, name: str) -> str:
        """The filter's title up to its first comma."""
        return self.shelf.filters[name].split(",")[0]

    def _fit(self, picture: pygame.Surface, place: pygame.Rect) -> pygame.Surface:
        key = (id(picture), place.size)
        if key not in self._scaled:
            share = min(place.w / picture.get_width(), place.h / picture.get_height())
            size = round(picture.get_width() * share), round(picture.get_height() * share)
            self._scaled[key] = pygame.transform.smoothscale(picture, size)
        return self._scaled[key]

    def _draw_about(self, canvas: Canvas, box: pygame.Rect) -> None:
        """The scenario marked, in its own words; or what went wrong."""
        focused = self.form.focused
        marked = focused.marked() if isinstance(focused, EntryList) else None
        if self.trouble:
            canvas.text(_as_fits(canvas, self.trouble, box, True), box, colour="warn", wrap=True, bold=True)
        elif marked is not None:
            text = f"{marked.title}. {marked.about}"
            canvas.text(_as_fits(canvas, text, box), box, wrap=True, valign="top", colour="soft")
        elif self.shelf.bad:
            text = f"{self.shelf.bad} lesson files have mistakes; glasscan check FILE tells which."
            canvas.text(text, box, colour="warn", wrap=True)

    def _draw_teaching(self, canvas: Canvas, foot: pygame.Rect) -> None:
        """The teaching-only line between the buttons of the foot."""
        boxes = {w.name: w.box for w in self.form.widgets}
        left = boxes["carry-on"].right if "carry-on" in boxes else foot.x - canvas.dp(24)
        x = left + canvas.dp(24)
        place = pygame.Rect(x, foot.y, boxes["theme"].x - canvas.dp(24) - x, foot.h)
        for text in (TEACHING, "For teaching only."):
            if canvas.measure(text, wrap=place.w)[1] <= place.h:
                canvas.text(text, place, colour="soft", wrap=True)
                return


def _parts_of(canvas: Canvas, column: pygame.Rect, text: str) -> tuple[pygame.Rect, pygame.Rect, pygame.Rect]:
    """Title over the whole column, picture on the left, list on the right."""
    inner = column.inflate(-canvas.dp(36), -canvas.dp(28))
    title = pygame.Rect(inner.x, inner.y, inner.w, canvas.measure(text, bold=True, wrap=inner.w)[1])
    y = title.bottom + canvas.dp(14)
    picture = pygame.Rect(inner.x, y, round(inner.w * 0.42), inner.bottom - y)
    x = picture.right + canvas.dp(18)
    return title, picture, pygame.Rect(x, y, inner.right - canvas.dp(10) - x, inner.bottom - y)


def _as_fits(canvas: Canvas, text: str, box: pygame.Rect, bold: bool = False) -> str:
    """The text, cut at a word so that it fits its box when wrapped."""
    words = text.split(" ")
    whole = len(words)
    while words and canvas.measure(" ".join(words) + "…", bold=bold, wrap=box.w)[1] > box.h:
        words = words[: -max(1, len(words) // 12)]
    return " ".join(words) + ("" if len(words) == whole else "…")
