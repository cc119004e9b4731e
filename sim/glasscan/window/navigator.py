"""What pages may ask of the window that shows them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, Protocol

from glasscan.ui.page import Shown
from glasscan.ui.progress_task import ReportProgress
from glasscan.ui.view_options import ViewOptions
from glasscan.window.open_request import OpenRequest

if TYPE_CHECKING:
    from glasscan.window.exam.class_figures import ClassMaker


class Navigator(Protocol):
    """What a way may ask of the window."""

    desk: ViewOptions
    class_maker: ClassMaker | None

    def show(self, page: Shown) -> bool:
        """Run a page until it is left; False where the window was closed."""

    def open(self, wanted: OpenRequest) -> bool:
        """Open a lesson; False where the window was closed."""

    def behind_bar(self, title: str, work: Callable[[ReportProgress], Any]) -> Any:
        """Do work in a thread behind a progress bar; None where the window was closed."""
