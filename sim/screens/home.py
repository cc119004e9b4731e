"""The first screen: what do you want to do, with which filter, and where did you leave off."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import pygame

from sim.screens.canvas import Canvas
from sim.screens.desk import Desk
from sim.screens.filterpics import as_surface, kept, work_out
from sim.screens.helper import Helper
from sim.screens.homeplan import SHOWN, Boxes, plan
from sim.screens.keyhelp import TEACHING, draw_home_help
from sim.screens.leftoff import LeftOff, Mode
from sim.screens.quantities import clock
from sim.screens.shelf import Entry, Shelf
from sim.screens.shelfwidgets import Card, Door, EntryList
from sim.screens.theme import THEMES, load_theme
from sim.screens.ways import Way, of_mode
from sim.screens.widgets import ENTER, Button, Form, Widget

MODES: tuple[tuple[Mode, str, str], ...] = (
    ("demonstrate", "Demonstrate", "Show a class: run it, stop it, name the parts."),
    ("practise", "Practise", "Say what will happen, then watch it."),
    ("exam", "Prepare for the exam", "Answer alone; the marks come at the end."),
)
WELCOME = "See inside an oil filter while it works."


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
        self._picked = ""
        self._pictures: dict[tuple[str, str], pygame.Surface] = {}
        self._whole: set[tuple[str, str]] = set()  # pictures with oil, not the metal alone
        self._looked: set[str] = set()
        self._built: tuple[object, ...] = ()
        self._at: dict[str, int] = {}  # the row marked in each list
        self._eager = False  # Enter was pressed before there was anything to open
        self._early: list[pygame.event.Event] = []  # keys pressed after that: they are for the lesson

    @property
    def leave(self) -> bool:
        """True once something was chosen."""
        return self.wanted is not None

    @property
    def filter(self) -> str:
        """Whose lessons are listed: the filter picked, else that of the lesson left, else the first."""
        names = list(self.shelf.filters)
        if self._picked in names:
            return self._picked
        left = next((e.filter for e in self.shelf.entries if e.scenario == self.left.scenario), "")
        return left if left in names else next(iter(names), "")

    # --- events ------------------------------------------------------------------------------------

    def handle(self, event: pygame.event.Event) -> None:
        """One event: a sheet on top, then the widgets, then the keys of the screen."""
        if event.type == pygame.QUIT:
            self.quit = True
        elif self.desk.help:
            if event.type in (pygame.KEYDOWN, pygame.MOUSEBUTTONDOWN):
                self.desk.help = False
        elif self._eager and event.type == pygame.KEYDOWN:
            self._early.append(event)
        elif not self.form.handle(event) and event.type == pygame.KEYDOWN:
            self._key(event)

    def _key(self, event: pygame.event.Event) -> None:
        if event.key in ENTER and not self.shelf.ready:
            self._eager = True
            return
        word = getattr(event, "unicode", "").lower()
        name = pygame.key.name(event.key).lower()
        acts = self._acts()
        act = acts.get(word) or acts.get(name)
        if act is not None:
            act()

    def _acts(self) -> dict[str, Callable[[], object]]:
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
            "left": partial(self._beside, -1),
            "right": partial(self._beside, 1),
        }
        return acts | {str(i + 1): partial(self._choose, mode) for i, (mode, _, _) in enumerate(MODES)}

    def _choose(self, mode: Mode) -> None:
        self.mode = mode

    def _is(self, mode: Mode) -> bool:
        return self.mode == mode

    def _pick(self, name: str) -> None:
        """List the lessons of a filter and go to them."""
        self._picked = name
        self.form.focus_on(None)

    def _beside(self, by: int) -> None:
        """The next filter, or the one before."""
        names = list(self.shelf.filters)
        if names:
            self._pick(names[(names.index(self.filter) + by) % len(names)])

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
            first = next(iter(self.shelf.of(self.filter)), None)
            self._eager = False
            if first is not None:
                self._open(first)
                for event in self._early:
                    pygame.event.post(event)
        if self.shelf.ready and self.desk.theme not in self._looked:
            self._looked.add(self.desk.theme)
            self._look_for_pictures(tuple(self.shelf.filters))
        if self.painter is not None and not self.painter.done:
            self.painter.poll()
            while self.painter.pieces:
                self._take(self.painter.pieces.pop(0), whole=self.painter.share > 0)
            if self.painter.done:
                self._take(self.painter.result)

    def _look_for_pictures(self, names: tuple[str, ...]) -> None:
        """Those kept from an earlier sitting; the others are drawn beside the window."""
        theme = self.desk.theme
        self._take({(n, theme): d for n, d in kept(names, theme).items()})
        missing = [n for n in names if (n, theme) not in self._whole]
        if missing and self.painter is None:
            self.painter = Helper(work_out, missing, THEMES)
            self.painter.start()

    def _take(self, pictures: dict[tuple[str, str], bytes], whole: bool = True) -> None:
        for key, data in pictures.items():
            picture = as_surface(data)
            if picture is not None and (whole or key not in self._whole):
                self._pictures[key] = picture
                self._whole |= {key} if whole else set()

    def close(self) -> None:
        """Stop what still goes on beside the window."""
        if self.painter is not None:
            self.painter.stop()

    # --- widgets -----------------------------------------------------------------------------------

    def layout(self, size: tuple[int, int]) -> Boxes:
        """Boxes by name."""
        return plan(
            size, self.desk.text_scale, [mode for mode, _, _ in MODES], [w.word for w in of_mode(self.mode)]
        )

    def _build(self, canvas: Canvas, boxes: Boxes) -> None:
        size, text = canvas.surface.get_size(), canvas.text_scale
        key = (size, text, tuple(self.shelf.filters), self.shelf.ready, self.mode, self.filter)
        if key == self._built:
            return
        self._built = key
        focus = self.form.focused.name if self.form.focused else None
        self._at |= {w.name: w.at for w in self.form.widgets if isinstance(w, EntryList)}
        lists = self._list(canvas, boxes)
        self.form = Form(
            [
                *lists,
                *self._ways(boxes),
                *self._doors(boxes),
                *self._modes(boxes),
                *self._foot(canvas, boxes["foot"]),
            ]
        )
        names = {w.name for w in self.form.widgets}
        first = lists[0].name if lists and self.shelf.of(self.filter) else None
        self.form.focus_on(focus if focus in names else first)

    def _modes(self, boxes: Boxes) -> list[Widget]:
        return [
            Card(
                mode, f"{i + 1}  {title}", partial(self._choose, mode), partial(self._is, mode),
                under=text, box=boxes[mode],
            )
            for i, (mode, title, text) in enumerate(MODES)
        ]  # fmt: skip

    def _ways(self, boxes: Boxes) -> list[Widget]:
        return [
            Card(
                f"way-{w.word}", w.title, partial(self._take_way, w), under=w.under,
                box=boxes[f"way-{w.word}"],
            )
            for w in of_mode(self.mode)
        ]  # fmt: skip

    def _doors(self, boxes: Boxes) -> list[Widget]:
        """As many filters as stand side by side, the chosen one among them."""
        names = list(self.shelf.filters)
        at = names.index(self.filter) if names else 0
        start = min(max(at - SHOWN + 1, 0), max(len(names) - SHOWN, 0))
        return [
            Door(
                f"door-{name}", self.short(name), partial(self._pick, name), partial(self._lists, name),
                picture=partial(self._picture, name), waiting=partial(self._waiting, name),
                box=boxes[f"door{i}"],
            )
            for i, name in enumerate(names[start : start + SHOWN])
        ]  # fmt: skip

    def _lists(self, name: str) -> bool:
        return self.filter == name

    def _picture(self, name: str) -> pygame.Surface | None:
        return self._pictures.get((name, self.desk.theme))

    def _waiting(self, name: str) -> str:
        """What is said while the oil is not drawn yet."""
        painter = self.painter
        if painter is None or (name, self.desk.theme) in self._whole:
            return ""
        return "No picture of the oil." if painter.trouble else f"solving the flow… {painter.share:.0%}"

    def _list(self, canvas: Canvas, boxes: Boxes) -> list[EntryList]:
        name = self.filter
        if not name:
            return []
        room = boxes["list"]
        titles = [e.title for e in self.shelf.of(name)]
        inner = room.w - canvas.dp(28)
        deep = any(canvas.measure(t, bold=True)[0] > inner for t in titles)
        row_h = canvas.tp(106 if deep else 78)
        row_h = row_h if room.h >= 2 * row_h else canvas.tp(70)  # two lessons at least, a long title cut
        return [
            EntryList(
                f"list-{name}", "Lessons", partial(self.shelf.of, name), self._open, self._beside,
                box=room, row_h=row_h, at=self._at.get(f"list-{name}", 0),
            )
        ]  # fmt: skip

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

    def short(self, name: str) -> str:
        """The filter's title up to its first comma."""
        return self.shelf.filters[name].split(",")[0]

    # --- picture -----------------------------------------------------------------------------------

    def draw(self, surface: pygame.Surface, drawn_s: float = 0.0) -> Canvas:
        """Draw one frame."""
        del drawn_s
        canvas = Canvas(surface, load_theme(self.desk.theme), self.desk.text_scale)
        surface.fill(canvas.theme["paper"])
        boxes = self.layout(surface.get_size())
        self._build(canvas, boxes)
        self._draw_head(canvas, boxes["head"])
        self._draw_side(canvas, boxes)
        self._draw_teaching(canvas, boxes["foot"])
        self.form.draw(canvas)
        if self.desk.help:
            draw_home_help(canvas)
        return canvas

    def _draw_head(self, canvas: Canvas, box: pygame.Rect) -> None:
        w = canvas.measure("Glasscan", "number", True)[0]
        canvas.text("Glasscan", box, role="number", bold=True, colour="ink")
        rest = pygame.Rect(box.x + w + canvas.dp(36), box.y, box.w - w - canvas.dp(36), box.h)
        if self.trouble:
            fitting = canvas.fitting(self.trouble, rest, True)
            canvas.text(fitting, rest, colour="warn", wrap=True, bold=True)
            return
        canvas.text(WELCOME, rest, role="title", colour="soft", wrap=True)

    def _draw_side(self, canvas: Canvas, boxes: Boxes) -> None:
        """The panel of lessons: heading, what the marked one is about, or why there is none."""
        canvas.panel(boxes["side"], "sheet", "rule", 14, 2)
        names = list(self.shelf.filters)
        of = f"Lessons ({names.index(self.filter) + 1} of {len(names)}: ←  →)" if names else "Lessons"
        canvas.text(of, boxes["lessons"], colour="soft", shorten=True)
        if not self.filter or not self.shelf.of(self.filter):
            words = "No lesson for this filter yet." if self.shelf.ready else "Reading the lessons…"
            canvas.text(words, boxes["list"], colour="soft", wrap=True, valign="top")
        self._draw_about(canvas, boxes["about"])

    def _draw_about(self, canvas: Canvas, box: pygame.Rect) -> None:
        """The lesson marked, in its own words."""
        if box.h <= 0:
            return
        lessons = next((w for w in self.form.widgets if isinstance(w, EntryList)), None)
        marked = lessons.marked() if lessons else None
        if marked is not None:
            y = box.y - canvas.dp(6)
            pygame.draw.line(canvas.surface, canvas.theme["rule"], (box.x, y), (box.right, y), canvas.dp(2))
            canvas.text(canvas.fitting(marked.about, box), box, wrap=True, valign="top", colour="soft")
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
