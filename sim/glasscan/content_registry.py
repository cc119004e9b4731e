"""Every kind of data file the program reads, once: where it lies, what it is, its model, its checks.

`glasscan check`, `glasscan schema` and `glasscan list` read this table. A new kind of file is one row. Models
are named by text and imported when asked for: the table itself costs nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fnmatch import fnmatch
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pydantic import BaseModel

WORKSHOP = "glasscan.workshop"


@dataclass(frozen=True)
class ContentKind:
    """One kind of data file.

    Attributes:
        word: its name on the command line.
        where: pattern of folder and file name under `assets` or `scenarios`, as `fnmatch` takes it.
        meaning: one line.
        model: "module:class" that a file must fit.
        reader: "module:function" that reads a path with the checks no single field can make; "" for none.
    """

    word: str
    where: str
    meaning: str
    model: str
    reader: str = ""

    def read(self, path: Path) -> None:
        """Read a file of this kind with all its checks.

        Raises:
            BadInput: it is bad, with one line for each problem.
        """
        if self.reader:
            _named(self.reader)(path)
        else:
            from glasscan.content import load

            load(path, self.record())

    def record(self) -> type[BaseModel]:
        """The model of its files."""
        found: type[BaseModel] = _named(self.model)
        return found


KINDS: tuple[ContentKind, ...] = (
    ContentKind(
        "lesson", "scenarios/*.yaml", "a lesson: rig, morning, timeline, questions, notes",
        "glasscan.learning.scenario_schema:Scenario", "glasscan.learning.scenario_loading:read_scenario",
    ),
    ContentKind(
        "fluid", "fluids/*.yaml", "an oil or hydraulic fluid",
        "glasscan.learning.fluid_data:FluidData",
    ),
    ContentKind(
        "filter", "filters/*.yaml", "sizes of a filter",
        "glasscan.filters.filter_data:FilterData",
    ),
    ContentKind(
        "plant", "plants/*.yaml", "numbers of a rig: pump, regulator, gallery, sump, heat",
        "glasscan.rig.plant_data:PlantData",
    ),
    ContentKind(
        "fault", "faults/*.yaml", "faults: which numbers of the rig they move, and what the hand finds",
        "glasscan.faults.fault_data:FaultFile",
    ),
    ContentKind(
        "procedure", "procedures/*.yaml", "a job at the bench",
        f"{WORKSHOP}.procedures.procedure_data:ProcedureData",
        f"{WORKSHOP}.procedures.procedure_catalogue:read_procedure",
    ),
    ContentKind(
        "frame", "workshop/frame.yaml", "gates and ends that all jobs share",
        f"{WORKSHOP}.procedures.procedure_data:FrameData",
    ),
    ContentKind(
        "conditions", "workshop/conditions.yaml", "what work leaves for the next run",
        f"{WORKSHOP}.procedures.procedure_data:ConditionsData",
    ),
    ContentKind(
        "machines", "workshop/machines.yaml", "machines that jobs are done on: joints, seals, torques, oil",
        f"{WORKSHOP}.machine_data:MachinesData",
    ),
    ContentKind(
        "manual", "manual/*.yaml", "lines of the invented maintenance manual that questions cite",
        "glasscan.learning.manual:Manual", "glasscan.learning.manual:read_manual",
    ),
    ContentKind(
        "debris-limits", "workshop/example-manual.yaml", "limits of the invented example sheet",
        f"{WORKSHOP}.inspection.inspection_data:ManualFile",
    ),
    ContentKind(
        "debris-kinds", "debris/kinds.yaml", "kinds of debris",
        "glasscan.debris.debris_data:KindFile",
    ),
    ContentKind(
        "debris-materials", "debris/materials.yaml", "materials of debris",
        "glasscan.debris.debris_data:MaterialFile",
    ),
    ContentKind(
        "debris-sources", "debris/sources.yaml", "what dirt is made of, and how it shows itself",
        f"{WORKSHOP}.inspection.inspection_data:SourcesFile",
    ),
    ContentKind(
        "stories", "debris/stories.yaml", "stories of used filters for the bench",
        f"{WORKSHOP}.inspection.inspection_data:StoriesFile",
    ),
    ContentKind(
        "pleats", "closeups/pleats.yaml", "the closer look at pleats",
        "glasscan.filters.closeup.closeup_data:PleatsFile",
    ),
    ContentKind(
        "discs", "closeups/discs.yaml", "the closer look at discs",
        "glasscan.filters.closeup.closeup_data:DiscsFile",
    ),
    ContentKind(
        "tests", "assets/tests.yaml", "tests that a hidden fault offers, with minutes and errors",
        "glasscan.learning.cases.test_menu:Menu",
    ),
    ContentKind(
        "syllabus", "assets/syllabus.yaml", "codes of the syllabus",
        "glasscan.learning.syllabus:Syllabus", "glasscan.learning.syllabus:read_syllabus",
    ),
    ContentKind(
        "course", "assets/course.yaml", "the order in which lessons are taught",
        "glasscan.learning.course:CourseFile", "glasscan.learning.course:read_courses",
    ),
    ContentKind(
        "fault-pictures", "assets/fault-pictures.yaml", "how each fault is drawn once it may be seen",
        "glasscan.window.faults.fault_pictures:FaultPictureFile",
    ),
    ContentKind(
        "theme", "assets/theme.yaml", "colours of the window",
        "glasscan.ui.theme_data:ThemeFile",
    ),
    ContentKind(
        "bench-look", "workshop/bench-look.yaml", "colours of the workshop",
        "glasscan.ui.theme_data:BenchLookFile",
    ),
)  # fmt: skip
BY_WORD = {kind.word: kind for kind in KINDS}
LESSON = BY_WORD["lesson"]


def kind_of(path: Path) -> ContentKind:
    """The kind of a file, by its folder and name; what lies anywhere else is a lesson."""
    here = f"{path.resolve().parent.name}/{path.name}"
    named = (kind for kind in KINDS if fnmatch(here, kind.where))
    alone = (kind for kind in KINDS if "*" not in kind.where and kind.where.endswith(f"/{path.name}"))
    return next(named, next(alone, LESSON))


def _named(text: str) -> Any:
    module, name = text.split(":")
    found: Callable[..., Any] = getattr(import_module(module), name)
    return found
