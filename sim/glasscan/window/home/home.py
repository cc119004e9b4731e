"""The first screen: what do you want to do, with which filter, and where did you leave off."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.ui.bindings import Binding, acts_of, sheet_of
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import clock
from glasscan.ui.focus import Form
from glasscan.ui.key_sheet import draw_help
from glasscan.ui.theme import load_theme
from glasscan.ui.view_keys import act_of, closes_sheet, view_bindings
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import ENTER, Button, Widget
from glasscan.window.home.home_drawing import draw_head, draw_side, draw_teaching
from glasscan.window.home.home_layout import SHOWN, Boxes, plan
from glasscan.window.home.home_widgets import Door, EntryList, LessonCard
from glasscan.window.home.lesson_index import LessonEntry, LessonIndex
from glasscan.window.home.resume_state import Mode, ResumeState
from glasscan.window.home.thumbnail_store import DoorPictures
from glasscan.window.open_request import HomeState, OpenRequest
from glasscan.window.routes import Route, of_mode

MODES: tuple[tuple[Mode, str, str], ...] = (
    ("demonstrate", "Demonstrate", "Show a class: run it, stop it, name the parts."),
    ("practise", "Practise", "Say what will happen, then watch it."),
    ("exam", "Prepare for the exam", "Answer alone; the marks come at the end."),
)


class Home:
    """Draws the choice and takes it; `wanted` is set once it is made."""

    def __init__(
        self,
        desk: ViewOptions,
        shelf: LessonIndex,
        left: ResumeState,
        trouble: str = "",
        stood: HomeState | None = None,
    ) -> None:
        self.desk, self.shelf, self.left, self.trouble = desk, shelf, left, trouble
        stood = stood or HomeState(left.mode, lesson=left.scenario)
        self.mode: Mode = stood.mode
        self._lesson = stood.lesson
        self.wanted: OpenRequest | None = None
        self.form = Form()
        self.quit = self.fullscreen = False
        self.pictures = DoorPictures()
        self._picked = stood.filter
        self._built: tuple[object, ...] = ()
        self._at: dict[str, int] = {}  # the row marked in each list
        self._listed = False
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

    @property
    def lessons(self) -> EntryList | None:
        """The list of lessons, once there is one."""
        return next((w for w in self.form.widgets if isinstance(w, EntryList)), None)

    def stood(self) -> HomeState:
        """What to come back to."""
        marked = self.lessons.marked() if self.lessons else None
        opened = self.wanted.scenario if self.wanted else ""
        return HomeState(self.mode, self.filter, opened or (marked.scenario if marked else ""))

    # --- events ------------------------------------------------------------------------------------

    def handle(self, event: pygame.event.Event) -> None:
        """One event: a sheet on top, then the widgets, then the keys of the screen."""
        if event.type == pygame.QUIT:
            self.quit = True
        elif self.desk.help:
            self.desk.help = not closes_sheet(event)
        elif event.type == pygame.DROPFILE:  # a lesson of one's own
            self.wanted = OpenRequest(str(event.file), self.mode)
        elif self._eager and event.type == pygame.KEYDOWN:
            self._early.append(event)
        elif event.type == pygame.KEYDOWN and event.key == pygame.K_ESCAPE:
            return  # nothing is open here, and the focus stays where it can be seen
        elif not self.form.handle(event) and event.type == pygame.KEYDOWN:
            self._key(event)

    def _key(self, event: pygame.event.Event) -> None:
        if event.key in ENTER and not self.shelf.ready:
            self._eager = True
            return
        act = act_of(event, acts_of(self._bindings()))
        if act is not None:
            act()

    def _bindings(self) -> tuple[Binding, ...]:
        modes = {str(i): partial(self._choose, mode) for i, (mode, _, _) in enumerate(MODES, 1)}
        sides = {"left": partial(self._beside, -1), "right": partial(self._beside, 1)}
        return (
            Binding("1  2  3", "demonstrate, practise, exam", modes),
            Binding("←  →", "another filter", sides),
            Binding("↑  ↓", "another lesson"),
            Binding("Tab", "next button"),
            Binding("Enter", "open it"),
            Binding("C", "carry on where you left", {"c": self._carry_on}),
            *view_bindings(self),
        )

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

    def _open(self, entry: LessonEntry) -> None:
        self.wanted = OpenRequest(entry.scenario, self.mode)

    def _take_way(self, way: Route) -> None:
        self.wanted = OpenRequest("", self.mode, way=way.word)

    def _carry_on(self) -> None:
        if self.left.scenario:
            self.wanted = OpenRequest(self.left.scenario, self.left.mode, True)

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
        if self.shelf.ready:
            self.pictures.look(tuple(self.shelf.filters), self.desk.theme)
        self.pictures.update()

    def close(self) -> None:
        """Stop what still goes on beside the window."""
        self.pictures.close()

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
        if self.lessons is not None and self._listed:
            self._at[self.lessons.name] = self.lessons.at
        self._listed = self.shelf.ready  # before, rows still move
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
            LessonCard(
                mode, f"{i + 1}  {title}", partial(self._choose, mode), partial(self._is, mode),
                under=text, box=boxes[mode],
            )
            for i, (mode, title, text) in enumerate(MODES)
        ]  # fmt: skip

    def _ways(self, boxes: Boxes) -> list[Widget]:
        return [
            LessonCard(
                f"way-{w.word}", w.title, partial(self._take_way, w), under=w.under,
                brief=w.brief, box=boxes[f"way-{w.word}"],
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
        return self.pictures.of(name, self.desk.theme)

    def _waiting(self, name: str) -> str:
        return self.pictures.waiting(name, self.desk.theme)

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
                box=room, row_h=row_h, at=self._at.get(f"list-{name}", self._row(name)),
            )
        ]  # fmt: skip

    def _row(self, name: str) -> int:
        """Row of the lesson that was left last, in the list of a filter."""
        lessons = [e.scenario for e in self.shelf.of(name)]
        return lessons.index(self._lesson) if self._lesson in lessons else 0

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
        draw_head(canvas, boxes["head"], self.trouble)
        lessons = self.lessons
        marked = lessons.marked() if lessons else None
        draw_side(canvas, boxes, self.shelf, self.shelf.of(self.filter), marked)
        draw_teaching(canvas, boxes["foot"], self.form)
        self.form.draw(canvas)
        if self.desk.help:
            draw_help(canvas, sheet_of(self._bindings()))
        return canvas
