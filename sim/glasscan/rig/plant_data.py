"""Numbers of a rig, as read from assets/plants/NAME.yaml: frozen, checked, units in the keys."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from glasscan.contaminant.classes import CLASSES, DustName

WEAR_PCT = (20.0, 20.0, 30.0, 15.0, 10.0, 4.0, 1.0, 0.0)
"""Sizes of wear by mass in the classes of `contaminant.classes`: mostly fine; common practice, no source."""

Positive = Annotated[float, Field(gt=0, allow_inf_nan=False)]
NotNegative = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Fraction = Annotated[float, Field(ge=0, le=1)]
Celsius = Annotated[float, Field(ge=-60, le=200)]
Status = Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE", "INVENTED"]


class Block(BaseModel):
    """A group of numbers with their source and its status."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    source: str
    status: Status


class PumpData(Block):
    """Positive-displacement pump, its pick-up and its safety relief valve."""

    displacement_ml_rev: Positive
    volumetric_efficiency: Fraction = 1.0
    slip_mm3: NotNegative  # leakage q = slip dp / mu
    slip_cap: Fraction  # leakage at most this share of the swept flow
    suction_r_per_m3: Positive  # pick-up pipe and strainer: dp = mu r q + rho k q^2
    suction_l_d: NotNegative = 0.0  # length over bore of the pick-up pipe: gelled oil needs 4 tau L/D to move
    suction_k_per_m4: NotNegative = 0.0  # mesh of the strainer and bends: the part that hot oil feels too
    suction_floor_kpa: NotNegative  # absolute pressure below which vapour and foam spoil the fill
    compensator_kpa: Positive | None = None  # outlet pressure at which a variable pump has no stroke left
    compensator_band_kpa: Positive = 700.0  # it begins to take stroke off this far below
    relief_kpa: Positive  # safety relief: starts to open, gauge
    relief_override_kpa: Positive  # rise above that at 1 L/s


class RegulatorData(Block):
    """Pressure regulator: poppet on a spring."""

    set_kpa: NotNegative
    seat_d_mm: Positive
    half_angle_deg: Annotated[float, Field(gt=0, le=90)]
    rate_n_m: Positive
    max_lift_mm: Positive
    cd: Positive
    lag_s: Positive
    jam_lift_mm: NotNegative = 0.0  # a chip holds it open at least this far
    return_r_per_m3: NotNegative = 0.0  # passage from it to the sump: dp = mu r q, which pushes it shut


class AirData(Block):
    """Free air that the pump draws with the oil: foam, or a suction joint that leaks."""

    share: Annotated[float, Field(ge=0, lt=0.9)] = 0.0  # of what is drawn, by volume at the air's pressure
    slug_ml: Positive = 20.0  # it comes unevenly: one slug of this size after another
    bubble_um: Positive = 150.0  # size of the bubbles that stay in the oil


class WaterData(Block):
    """Free water in the oil, in drops that neither settle nor coalesce in the time of a run."""

    share: Annotated[float, Field(ge=0, lt=0.5)] = 0.0  # by volume
    drop_um: Positive = 30.0


class SealData(Block):
    """Way out at the filter's seal to the open air: what goes there is lost to the sump."""

    area_mm2: NotNegative = 0.0
    opens_kpa: NotNegative = 0.0  # the ring holds below this, gauge
    cd: Positive = 0.62


class UnloaderData(Block):
    """Unloading valve behind a fixed pump, with its check valve: it idles the pump between two pressures."""

    unload_kpa: Positive  # pressure of the line at which the pump is sent idling, gauge
    load_kpa: Positive  # lower one at which it works again
    idle_kpa: NotNegative  # what the pump works against while it idles

    @model_validator(mode="after")
    def _apart(self) -> UnloaderData:
        if self.load_kpa >= self.unload_kpa:
            raise ValueError("load_kpa: expected less than unload_kpa")
        return self


class AccumulatorData(Block):
    """Gas accumulator on the pressure line."""

    gas_l: Positive  # volume of the gas with no fluid in it
    charge_kpa: Positive  # gauge pressure of the gas then, as warm as its wall
    tau_s: Positive  # time in which the gas takes the temperature of its wall


class GalleryData(Block):
    """Oil passages of the engine, its bearings and piston jets."""

    volume_l: Positive
    trapped_air: Fraction  # share of the volume that never vents, at 1 bar
    head_kpa: Positive  # back pressure of the full height of oil while it fills
    hold_kpa: NotNegative = 0.0  # capillary pressure with which the clearances hold oil against draining
    bearing_shear: NotNegative = 0.0  # radius over clearance: rate of shear = this times angular speed
    bearing_mm3: NotNegative  # laminar clearances: q = bearing p / mu(bearing)
    jet_area_mm2: NotNegative
    jet_cd: Positive
    jet_check_kpa: NotNegative = 0.0  # pressure that opens the ball checks of the jets


class HousingData(Block):
    """Elasticity of the filter can, its hose and its oil."""

    bulk_mpa: Positive  # effective bulk modulus of oil, can and hose
    head_kpa: Positive  # back pressure of the full height of oil while it fills
    metal_j_k: NotNegative
    drop_kpa: NotNegative = 0.0  # head of the filter above the oil of the sump: what drains it at rest
    antidrain_leak_mm3: NotNegative | None = None  # instead of the filter's own: q = leak dp/mu


class SumpData(Block):
    """Oil sump."""

    volume_l: Positive
    unport_l: Positive  # below this the pick-up draws air


class HeatData(Block):
    """Lumped heat balance."""

    preheat_w: NotNegative = 0.0  # heaters on sump and engine, half each
    engine_w: NotNegative  # heat into the block at `reference_rpm`
    engine_exponent: NotNegative
    reference_rpm: Positive
    block_j_k: Positive
    bearing_j_k: Positive
    bearing_drag_l: NotNegative  # shear heat = drag mu omega^2 (Petroff)
    bearing_drag_limit_nm: Positive  # torque that the crank can put into it
    block_air_w_k: NotNegative
    block_sump_w_k: NotNegative
    block_gallery_w_k: NotNegative
    bearing_block_w_k: NotNegative
    bearing_gallery_w_k: NotNegative
    sump_air_w_k: NotNegative
    filter_air_w_k: NotNegative
    cooler_w_k: NotNegative  # at the reference speed
    cooler_air_exponent: NotNegative = 0.0  # W/K in proportion to speed^this, as its air is
    thermostat_c: Celsius
    thermostat_span_c: Positive


class GaugeData(Block):
    """Pressure gauge."""

    tap: Literal["gallery", "inlet"] = "gallery"
    lag_s: Positive  # of needle and snubber in thin oil
    line_s_per_pa_s: NotNegative = 0.0  # further lag for each Pa s in its line, as warm as the block
    scale: Positive = 1.0
    offset_kpa: float = 0.0
    green_kpa: NotNegative


class IndicatorData(Block):
    """Differential-pressure indicator: pops, latches, locked out while the oil is cold."""

    fitted: bool = True
    trip_kpa: Positive
    lockout_c: Celsius
    response_s: NotNegative = 0.0  # its damping: what it senses follows the pressure this slowly


class DirtData(Block):
    """Contaminant: what is in the oil, what comes in, and of what sizes."""

    start_mg: NotNegative = 0.0  # in the oil at the start
    start: DustName = "a2"  # its sizes: a test dust
    wear_mg_h: NotNegative = 0.0  # made by wear at the reference speed, in proportion to the speed
    wear_iron: Fraction = 0.6  # share of its mass that a magnet takes
    wear_pct: tuple[NotNegative, ...] = WEAR_PCT  # share of its mass in each size class
    dust_mg_h: NotNegative = 0.0  # let in from outside at the reference speed, in proportion to the speed
    dust: DustName = "a3"  # its sizes: a test dust

    @model_validator(mode="after")
    def _whole(self) -> DirtData:
        if len(self.wear_pct) != CLASSES or abs(sum(self.wear_pct) - 100.0) > 1e-6:
            raise ValueError(f"wear_pct: expected {CLASSES} shares, one for each size class, that sum to 100")
        return self


class ScraperData(Block):
    """Condition of the scraper's blades and drive, where the filter has them."""

    bite: Fraction = 1.0  # share of its clearing that a worn blade still does
    drive: Fraction = 1.0  # share of the handle's turn that reaches the stack
    missed: Fraction = 0.0  # share of the gaps that bent blades do not comb


HEALTHY_SCRAPER = ScraperData(source="healthy", status="PRACTICE")


class PlantData(BaseModel):
    """All numbers of one rig."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    plant: str
    title: str
    about: str
    world: Literal["invented"]
    pump: PumpData
    regulator: RegulatorData
    gallery: GalleryData
    housing: HousingData
    sump: SumpData
    heat: HeatData
    gauge: GaugeData
    indicator: IndicatorData
    dirt: DirtData
    air: AirData = AirData(source="oil free of air", status="COMPUTED")
    water: WaterData = WaterData(source="dry oil", status="COMPUTED")
    seal: SealData = SealData(source="a sound seal lets nothing out", status="COMPUTED")
    scraper: ScraperData = HEALTHY_SCRAPER
    unloader: UnloaderData | None = None
    accumulator: AccumulatorData | None = None
