"""One inspection from the closed filter to the marks: what was opened, looked at, taken up and said."""

from __future__ import annotations

from dataclasses import dataclass, field

from glasscan.workshop.inspection.evidence import Evidence, Place
from glasscan.workshop.inspection.heaps import Heap, Patch, all_heaps, heaps_at, places_of, wash
from glasscan.workshop.inspection.judgement import Judgement, LimitSheet, marked
from glasscan.workshop.inspection.piece_layout import OPENINGS, Laid, Opening, lay_out


@dataclass
class Inspection:
    """The state of the work; every method may be called from a page or from the command line.

    Attributes:
        evidence: what there is.
        seed: of the lay-out.
        laid: the open filter; None while it is closed.
        looked: places looked at.
        magnet: the magnet hangs over the bench in its bag.
        patch: the washed patch, once made.
        taken: heaps on the tray, in the order they were taken up.
        said: judgements by heap id.
        bad_parts: parts called not sound.
        last: evidence of the inspection before, to compare with; None where there was none.
    """

    evidence: Evidence
    seed: int
    laid: Laid | None = None
    looked: list[Place] = field(default_factory=list)
    magnet: bool = False
    patch: Patch | None = None
    taken: list[str] = field(default_factory=list)
    said: dict[str, Judgement] = field(default_factory=dict)
    bad_parts: set[str] = field(default_factory=set)
    last: Evidence | None = None

    def ways(self) -> tuple[Opening, Opening]:
        """Ways to open it."""
        return OPENINGS[self.evidence.element.kind]

    def open(self, how: Opening) -> None:
        """Open it, once.

        Raises:
            ValueError: not a way for this kind of filter, or it is open.
        """
        if self.laid is not None or how not in self.ways():
            raise ValueError(f"open: expected one of {', '.join(self.ways())}, once, found {how!r}")
        self.laid = lay_out(self.evidence, self.seed, how)

    @property
    def bench(self) -> Laid:
        """The open filter.

        Raises:
            ValueError: it is still closed.
        """
        if self.laid is None:
            raise ValueError("open: the filter is still closed")
        return self.laid

    def places(self) -> tuple[Place, ...]:
        """Places that can be looked at."""
        return places_of(self.bench)

    def look(self, place: Place) -> tuple[Heap, ...]:
        """Heaps at a place."""
        if place not in self.looked:
            self.looked.append(place)
        return heaps_at(self.bench, place)

    def heaps(self) -> dict[str, Heap]:
        """Every heap, found or not."""
        return all_heaps(self.bench)

    def take(self, heap: str) -> None:
        """Put everything of a heap on the tray.

        Raises:
            KeyError: there is no such heap.
        """
        if heap not in self.heaps():
            raise KeyError(heap)
        if heap not in self.taken:
            self.taken.append(heap)

    def make_patch(self) -> Patch:
        """Wash a section through a patch; the second time the first patch is shown."""
        self.patch = self.patch or wash(self.evidence)
        return self.patch

    def judge(self, heap: str, judgement: Judgement) -> None:
        """Say what a heap is and what is to be done."""
        self.take(heap)
        self.said[heap] = judgement

    def sheet(self) -> LimitSheet:
        """The marks."""
        return marked(self.bench, self.evidence, self.heaps(), self.said, frozenset(self.bad_parts))
