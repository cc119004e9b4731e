"""Pictures of the filters for the first screen: kept from earlier, or drawn beside the window."""

from __future__ import annotations

from collections.abc import Sequence

import pygame

from glasscan.ui.theme import THEMES
from glasscan.ui.worker_process import WorkerProcess
from glasscan.window.home.thumbnails import as_surface, kept, work_out


class DoorPictures:
    """Looks pictures up, has missing ones drawn, and says how far that is."""

    def __init__(self) -> None:
        self.helper: WorkerProcess | None = None
        self._pictures: dict[tuple[str, str], pygame.Surface] = {}
        self._whole: set[tuple[str, str]] = set()  # pictures with oil, not the metal alone
        self._looked: set[str] = set()
        self._wanted: list[tuple[str, str]] = []
        # to be unpacked, one a frame, so that no frame waits for them all
        self._due: list[tuple[tuple[str, str], bytes, bool]] = []

    def look(self, names: Sequence[str], theme: str) -> None:
        """Find or order the pictures of filters in a theme; asked for again, nothing is done twice."""
        if theme in self._looked:
            return
        self._looked.add(theme)
        self._wanted += [(name, theme) for name in names]
        self._take({(n, theme): d for n, d in kept(names, theme).items()})

    def update(self) -> None:
        """See what the helper has brought, unpack the next picture, order those that are missing."""
        self._hear()
        if self._due:
            self._unpack(*self._due.pop(0))
        elif self.helper is None:
            self._order()

    def _hear(self) -> None:
        helper = self.helper
        if helper is None or helper.done:
            return
        helper.poll()
        while helper.pieces:
            self._take(helper.pieces.pop(0), whole=helper.share > 0)
        if helper.done:
            self._take(helper.result)

    def _order(self) -> None:
        """Have drawn what was not kept, or could not be read."""
        missing = list(
            dict.fromkeys(name for name, theme in self._wanted if (name, theme) not in self._whole)
        )
        if missing:
            self.helper = WorkerProcess(work_out, missing, THEMES)
            self.helper.start()

    def of(self, name: str, theme: str) -> pygame.Surface | None:
        """The picture of a filter, as far as it is there."""
        return self._pictures.get((name, theme))

    def waiting(self, name: str, theme: str) -> str:
        """What is said while the oil is not drawn yet."""
        helper = self.helper
        if helper is None or (name, theme) in self._whole:
            return ""
        return "No picture of the oil." if helper.trouble else f"solving the flow… {helper.share:.0%}"

    def close(self) -> None:
        """Stop what still goes on beside the window."""
        if self.helper is not None:
            self.helper.stop()

    def _take(self, pictures: dict[tuple[str, str], bytes], whole: bool = True) -> None:
        self._due += [(key, data, whole) for key, data in pictures.items()]

    def _unpack(self, key: tuple[str, str], data: bytes, whole: bool) -> None:
        picture = as_surface(data)
        if picture is not None and (whole or key not in self._whole):
            self._pictures[key] = picture
            self._whole |= {key} if whole else set()
