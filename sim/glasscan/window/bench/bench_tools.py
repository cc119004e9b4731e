"""What the person does with lens, magnet and needle over one place; no drawing here."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from glasscan.window.bench.bench_ground import Ground, ground_of
from glasscan.workshop.inspection.evidence import Place
from glasscan.workshop.inspection.heaps import PLACE_WORDS, Heap, clings, magnet
from glasscan.workshop.inspection.inspection import Inspection
from glasscan.workshop.inspection.inspection_data import manual, sources
from glasscan.workshop.inspection.piece_layout import Lying

NEAR_M = 3.0e-3
REACH_M = 14e-3
PULLS = {"all": "follows the magnet", "some": "some of it follows", "none": "does not follow"}


@dataclass
class Looking:
    """The lens over the bench.

    Attributes:
        work: the inspection.
        place: where it looks; None while the parts are looked at.
        at: place of the lens, m from left and top of the ground.
        magnet: the magnet in its bag is held over the lens's place.
        card: "white" or "black" card under what the lens shows; "" for the ground as it is.
        tried: tests done, by heap id.
    """

    work: Inspection
    place: Place
    at: tuple[float, float] = (0.0, 0.0)
    magnet: bool = False
    card: str = ""
    tried: dict[str, set[str]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.go(self.place)

    @property
    def ground(self) -> Ground:
        """What it looks at."""
        return ground_of(self.work.bench, self.place)

    def go(self, place: Place) -> None:
        """Look at another place, beginning at its left."""
        self.place = place
        self.work.look(place)
        g = self.ground
        self.at = (min(0.06, g.width_m / 2), g.height_m / 2)

    def move(self, dx: float, dy: float) -> None:
        """Move the lens, m."""
        g = self.ground
        self.at = (
            float(np.clip(self.at[0] + dx, 0, g.width_m)),
            float(np.clip(self.at[1] + dy, 0, g.height_m)),
        )
        self._draw_in()

    def put(self, at: tuple[float, float]) -> None:
        """Put the lens at a place, m."""
        self.at = at
        self._draw_in()

    def lying(self) -> list[tuple[Lying, tuple[float, float], int]]:
        """Pieces still there: the piece, where it lies in m, its number."""
        taken = set(self.work.taken)
        g, found = self.ground, []
        for heap in self.work.look(self.place):
            if heap.id not in taken:
                found += [(p, g.spot(p), i) for i, p in enumerate(heap.pieces)]
        return found

    def jump(self, by: int) -> None:
        """To the next piece on the right, or on the left."""
        spots = sorted(at for _, at, _ in self.lying())
        if not spots:
            return
        if by > 0:
            self.put(next((s for s in spots if s > self.at), spots[0]))
        else:
            self.put(next((s for s in reversed(spots) if s < self.at), spots[-1]))

    def nearest(self) -> tuple[Lying, int] | None:
        """The piece under the lens."""
        best, found = NEAR_M, None
        for piece, (x, y), i in self.lying():
            far = float(np.hypot(x - self.at[0], y - self.at[1]))
            if far < best:
                best, found = far, (piece, i)
        return found

    def under(self) -> Heap | None:
        """The heap of the piece under the lens; without a piece, what the film is."""
        heaps = [h for h in self.work.look(self.place) if h.id not in self.work.taken]
        piece = self.nearest()
        if piece is not None:
            return next(h for h in heaps if h.code == piece[0].code)
        films = [h for h in heaps if h.film_kg > 0]
        return max(films, key=lambda h: h.film_kg, default=None)

    def hold_magnet(self) -> None:
        """Hold the magnet over the bench, or put it away."""
        self.magnet = not self.magnet
        self._draw_in()

    def on_magnet(self) -> list[tuple[Lying, int]]:
        """Pieces that cling to the bag now."""
        if not self.magnet:
            return []
        near = [(p, i) for p, (x, y), i in self.lying() if np.hypot(x - self.at[0], y - self.at[1]) < REACH_M]
        return [(p, i) for p, i in near if clings(p.code, i)]

    def _draw_in(self) -> None:
        """The magnet has been tried on whatever lies within its reach."""
        if not self.magnet:
            return
        near = {p.code for p, (x, y), _ in self.lying() if np.hypot(x - self.at[0], y - self.at[1]) < REACH_M}
        for heap in self.work.look(self.place):
            if heap.code in near or heap.film_kg > 0:
                self.tried.setdefault(heap.id, set()).add("magnet")

    def poke(self) -> None:
        """Try the needle on what lies under the lens."""
        heap = self.under()
        if heap is not None:
            self.tried.setdefault(heap.id, set()).add("needle")

    def take(self) -> Heap | None:
        """Take up what lies under the lens, and all that is like it here."""
        heap = self.under()
        if heap is not None:
            self.work.take(heap.id)
        return heap

    def facts(self, heap: Heap | None) -> str:
        """What is known of a heap by the tests done so far."""
        if heap is None:
            return "Nothing here."
        tried, shown = self.tried.get(heap.id, set()), sources().kinds[heap.code]
        lines = [f"Lens: {shown.lens}."]
        lines.append(f"Magnet: {PULLS[magnet(heap)]}." if "magnet" in tried else "Magnet: not tried (M).")
        lines.append(f"Needle: {shown.needle}." if "needle" in tried else "Needle: not tried (N).")
        return "\n".join([*lines, amount_words(heap)])


def amount_words(heap: Heap) -> str:
    """How much there is, and what one drawn piece stands for."""
    sheet, lines = manual(), list[str]()
    if heap.pieces:
        lines.append(f"{heap.counted} pieces of {sheet.count_from_mm:g} mm or longer, of {heap.count}.")
        lines.append(f"Longest: {heap.longest_m * 1e3:.1f} mm.")
        if heap.stands_for >= 1.5:
            lines.append(f"One piece drawn stands for about {heap.stands_for:.0f}.")
    if heap.film_kg > 0:
        lines.append(f"As a film: {heap.film_kg * 1e3:.2f} g.")
    return "\n".join(lines)


def place_word(work: Inspection, place: Place) -> str:
    """Words for a place."""
    return PLACE_WORDS[work.evidence.element.kind][place]
