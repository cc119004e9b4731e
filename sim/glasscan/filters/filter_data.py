"""Shape of the filter data files in `assets/filters`: sizes in mm and trade units, checked on loading."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, RootModel, model_validator

PSI_PA = 6894.757293168  # 1 lbf/in2 in Pa: 4.4482216152605 N / (0.0254 m)^2, exact by definition


class _Frozen(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class ShellData(_Frozen):
    """Drawn steel can: a straight part and a half-ellipse dome, mm above the mounting face."""

    inner_radius_mm: float = Field(gt=5, le=200)
    wall_mm: float = Field(gt=0, le=5)
    straight_top_mm: float = Field(gt=10, le=500)
    dome_height_mm: float = Field(gt=1, le=100)


class BaseData(_Frozen):
    """Threaded base plate with its ring of inlet holes, boss and seal, mm."""

    plate_mm: float = Field(gt=0.5, le=20)
    hub_radius_mm: float = Field(gt=2, le=50)
    boss_radius_mm: float = Field(gt=2, le=60)
    holes: int = Field(ge=1, le=40)
    hole_mm: float = Field(gt=1, le=20)
    hole_circle_radius_mm: float = Field(gt=3, le=150)
    seal_radius_mm: float = Field(gt=3, le=200)
    seal_mm: float = Field(gt=0.5, le=15)


class AntidrainData(_Frozen):
    """Rubber anti-drain diaphragm over the inlet holes, mm."""

    fitted: bool
    lip_radius_mm: float = Field(gt=3, le=200)
    lip_gap_mm: float = Field(gt=0.2, le=10)
    thickness_mm: float = Field(gt=0.2, le=5)
    crack_kpa: float = Field(default=1.0, ge=0, le=50)  # lifts the lip
    leak_mm3: float = Field(default=0.0, ge=0, le=1)  # at rest: q = leak dp/mu


class ElementData(_Frozen):
    """Pleated element: sizes in mm, medium as a Darcy layer."""

    bottom_mm: float = Field(gt=1, le=400)
    top_mm: float = Field(gt=2, le=500)
    outer_radius_mm: float = Field(gt=3, le=200)
    inner_radius_mm: float = Field(gt=2, le=190)
    core_mm: float = Field(gt=0.2, le=5)
    cap_mm: float = Field(gt=0.3, le=10)
    pleats: int = Field(ge=5, le=400)
    medium_mm: float = Field(gt=0.05, le=5)
    permeability_m2: float = Field(gt=1e-15, le=1e-8)
    rating_um: float = Field(gt=0.5, le=500)
    beta_at_rating: float = Field(gt=1, le=1e6)
    segments: int = Field(ge=2, le=40)

    @property
    def depth_m(self) -> float:
        """Depth of a pleat, m."""
        return (self.outer_radius_mm - self.inner_radius_mm) * 1e-3

    @property
    def height_m(self) -> float:
        """Height of the medium between the end caps, m."""
        return (self.top_mm - self.bottom_mm) * 1e-3

    @property
    def area_m2(self) -> float:
        """Filtering area of both sides of every pleat, m2."""
        return 2 * self.pleats * self.depth_m * self.height_m

    @property
    def channel_m(self) -> float:
        """Width of one pleat channel at the middle radius, m."""
        circle = 3.141592653589793 * (self.outer_radius_mm + self.inner_radius_mm) * 1e-3
        return circle / (2 * self.pleats) - self.medium_mm * 1e-3

    @model_validator(mode="after")
    def _fits(self) -> Self:
        if self.inner_radius_mm >= self.outer_radius_mm or self.bottom_mm >= self.top_mm:
            raise ValueError("the element must have height and depth")
        if self.channel_m <= 0:
            raise ValueError("so many pleats of this medium do not fit on the circle")
        return self


class ValveData(_Frozen):
    """Bypass valve on its spring, trade units."""

    seat_mm: float = Field(gt=1, le=60)
    poppet_mm: float = Field(gt=1, le=80)
    poppet_thick_mm: float = Field(gt=0.2, le=20)
    half_angle_deg: float = Field(gt=10, le=90)
    ball_mm: float | None = Field(default=None, gt=1, le=80)
    cracking_psi: float = Field(ge=0, le=500)
    rate_n_mm: float = Field(gt=0, le=500)
    max_lift_mm: float = Field(gt=0.1, le=20)
    mass_g: float = Field(gt=0.01, le=500)
    cd: float = Field(gt=0.1, le=1)
    friction_n: float = Field(ge=0, le=100)
    leak_area_mm2: float = Field(ge=0, le=200)


class _Sourced(_Frozen):
    source: str
    status: Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE", "INVENTED"]


class CaptureData(_Sourced):
    """How a pleated medium catches and clogs; size and filtration ratio are those of the element."""

    solid_fraction: float = Field(gt=0.01, le=0.4)  # with the permeability it gives the fibre
    pore_over_rating: float = Field(gt=1, le=20)  # pores that sieve, over the rated size
    spread: float = Field(ge=0, le=2)  # standard deviation of ln(size) in sieving
    cake_porosity: float = Field(gt=0.1, lt=0.9)
    solid_kg_m3: float = Field(gt=500, le=20000)
    block_g_m2: float = Field(gt=0, le=1000)  # deposit that covers the pores to 63 %
    first_grain: float = Field(ge=0, le=1000)  # resistance of a pore's first covering over the clean one
    bulk_solids: float = Field(default=0.55, gt=0.01, le=0.9)  # volume share of solids in the wet deposit
    squeeze: float = Field(default=0.0, ge=0, le=1)  # index of the cake's compressibility


class RimData(_Sourced):
    """How dirt lodges at the rim of the gaps: a ring of deposit that bridges each gap."""

    ring_mm: float = Field(gt=0.02, le=5)  # width of that ring
    spread: float = Field(ge=0, le=2)
    cake_porosity: float = Field(gt=0.1, lt=0.9)
    solid_kg_m3: float = Field(gt=500, le=20000)
    block_g_m2: float = Field(gt=0, le=1000)  # deposit that covers the ring to 63 %


class LossData(_Frozen):
    """Inertial loss coefficients, dimensionless."""

    inlet_k: float = Field(ge=0, le=20)
    outlet_k: float = Field(ge=0, le=20)


class CanData(_Frozen):
    """A spin-on filter, whole."""

    name: str
    title: str
    kind: Literal["can"]
    world: Literal["invented"]
    status: Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE"]
    source: str
    shell: ShellData
    base: BaseData
    antidrain: AntidrainData
    element: ElementData
    capture: CaptureData | None = None
    valve: ValveData
    losses: LossData

    @model_validator(mode="after")
    def _fits(self) -> Self:
        inside, element, base = self.shell.inner_radius_mm, self.element, self.base
        if element.outer_radius_mm >= inside:
            raise ValueError("the element must fit inside the shell")
        if element.top_mm + element.cap_mm >= self.shell.straight_top_mm + self.shell.dome_height_mm:
            raise ValueError("the element must end below the dome")
        if base.boss_radius_mm >= base.hole_circle_radius_mm - base.hole_mm / 2:
            raise ValueError("the inlet holes must lie outside the boss")
        if self.valve.poppet_mm / 2 >= element.inner_radius_mm - element.core_mm:
            raise ValueError("the valve must fit inside the centre tube")
        return self


class HousingData(_Frozen):
    """Head and bowl of a filter in a housing, mm above the inside of the bowl's bottom; head on top."""

    bowl_radius_mm: float = Field(gt=5, le=200)
    bowl_wall_mm: float = Field(gt=0.5, le=20)
    bowl_round_mm: float = Field(gt=1, le=100)
    head_bottom_mm: float = Field(gt=10, le=600)
    head_top_mm: float = Field(gt=12, le=700)
    core_radius_mm: float = Field(gt=2, le=150)
    outlet_radius_mm: float = Field(gt=1, le=100)
    gallery_inner_mm: float = Field(gt=3, le=190)
    gallery_top_mm: float = Field(gt=11, le=700)  # roof of the gallery
    outlet_bottom_mm: float = Field(
        gt=11, le=700
    )  # outlet port: from the middle to the right, above the gallery
    outlet_top_mm: float = Field(gt=12, le=700)
    bolt_radius_mm: float = Field(ge=0, le=30)
    ring_mm: float = Field(gt=0.5, le=15)
    bolts: int = Field(default=1, ge=1, le=60)  # that hold bowl or cover to the head
    bolt_mm: float = Field(default=8.0, gt=2, le=40)
    bolt_pitch_mm: float = Field(default=1.25, gt=0.3, le=5)


class PassageData(_Frozen):
    """Valve passage through the head, mm."""

    bottom_mm: float = Field(gt=10, le=700)
    top_mm: float = Field(gt=10, le=700)


class CartridgeData(_Frozen):
    """A pleated cartridge in a housing, whole."""

    name: str
    title: str
    kind: Literal["cartridge"]
    world: Literal["invented"]
    status: Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE"]
    source: str
    housing: HousingData
    spigot_mm: float = Field(gt=0.5, le=30)
    support_mm: float = Field(gt=0.5, le=20)
    element: ElementData
    capture: CaptureData | None = None
    passage: PassageData
    valve: ValveData
    losses: LossData

    @model_validator(mode="after")
    def _fits(self) -> Self:
        house, element = self.housing, self.element
        if element.outer_radius_mm >= house.bowl_radius_mm:
            raise ValueError("the element must fit inside the bowl")
        if element.top_mm + element.cap_mm >= house.head_bottom_mm:
            raise ValueError("the element must end below the head")
        _check_head(house, self.passage, self.valve)
        return self


class StackData(_Frozen):
    """Discs and separators of an edge-type element, mm and um."""

    bottom_mm: float = Field(gt=1, le=500)
    gaps: int = Field(ge=3, le=120)
    gap_um: float = Field(gt=5, le=1000)
    disc_mm: float = Field(gt=0.1, le=10)
    outer_radius_mm: float = Field(gt=3, le=150)
    inner_radius_mm: float = Field(gt=2, le=140)
    open_fraction: float = Field(gt=0.1, le=1)
    beta_at_gap: float = Field(gt=1, le=1e6)
    rim: RimData

    @property
    def pitch_m(self) -> float:
        """Height of one disc and one gap, m."""
        return self.disc_mm * 1e-3 + self.gap_um * 1e-6

    @property
    def top_m(self) -> float:
        """Upper face of the last disc, m."""
        return self.bottom_mm * 1e-3 + self.gaps * self.pitch_m + self.disc_mm * 1e-3


class ScraperData(_Frozen):
    """Fixed blades that comb the gaps, their post, and the handle that turns the stack."""

    post_radius_mm: float = Field(gt=0.5, le=20)
    post_at_mm: float = Field(gt=3, le=180)
    blade_um: float = Field(default=100.0, gt=1, le=1000)  # thickness of a blade: what it needs of its gap
    blade_width_deg: float = Field(gt=0.5, le=60)
    cleared_per_turn: float = Field(gt=0, le=1)
    loose_share: float = Field(ge=0, le=1)  # of what is scraped: single grains that float; the rest sinks
    stir_l_min: float = Field(gt=0, le=10000)  # flow above which settled sludge is stirred up
    stir_s: float = Field(gt=0, le=1e6)  # time in which twice that flow stirs up 63 % of it
    shaft_radius_mm: float = Field(gt=0.5, le=40)
    handle_mm: float = Field(gt=5, le=300)


class DiscStackData(_Frozen):
    """An edge-type stacked-disc filter with scrapers, whole."""

    name: str
    title: str
    kind: Literal["disc"]
    world: Literal["invented"]
    status: Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE"]
    source: str
    housing: HousingData
    stack: StackData
    scraper: ScraperData
    passage: PassageData
    valve: ValveData
    losses: LossData

    @model_validator(mode="after")
    def _fits(self) -> Self:
        house, stack = self.housing, self.stack
        if stack.outer_radius_mm >= self.scraper.post_at_mm - self.scraper.post_radius_mm:
            raise ValueError("the blade post must stand outside the discs")
        if self.scraper.post_at_mm + self.scraper.post_radius_mm >= house.bowl_radius_mm:
            raise ValueError("the blade post must stand inside the bowl")
        if stack.top_m * 1e3 >= house.head_bottom_mm:
            raise ValueError("the stack must end below the head")
        _check_head(house, self.passage, self.valve)
        return self


def _check_head(house: HousingData, passage: PassageData, valve: ValveData) -> None:
    """Radii of the head must rise from bolt to bowl, and valve and passage must fit inside the head."""
    radii = [
        house.bolt_radius_mm,
        house.outlet_radius_mm,
        house.gallery_inner_mm,
        house.bowl_radius_mm,
    ]
    if sorted(radii) != radii or house.outlet_radius_mm <= house.bolt_radius_mm:
        raise ValueError("bolt, outlet, gallery and bowl radii must rise in this order")
    heights = [
        house.head_bottom_mm,
        passage.bottom_mm,
        passage.top_mm,
        house.gallery_top_mm,
        house.outlet_bottom_mm,
        house.outlet_top_mm,
        house.head_top_mm,
    ]
    if any(high <= low for low, high in pairwise(heights)):
        raise ValueError("valve passage, gallery and outlet port must lie inside the head, in this order")
    if (valve.ball_mm or valve.poppet_mm) >= passage.top_mm - passage.bottom_mm:
        raise ValueError("the valve must leave room for the oil in its passage")


class FilterData(RootModel[Annotated[CanData | CartridgeData | DiscStackData, Field(discriminator="kind")]]):
    """Any filter's data file; `.root` is the one it is."""

    @property
    def name(self) -> str:
        """Name of the file."""
        return self.root.name

    @property
    def title(self) -> str:
        """What it is, in words."""
        return self.root.title
