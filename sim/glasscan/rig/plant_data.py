"""Numbers of a rig, as read from assets/plants/NAME.yaml: frozen, checked, units in the keys."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, model_validator

from glasscan.contaminant.classes import CLASSES, DustName

WEAR_PCT = (20.0, 20.0, 30.0, 15.0, 10.0, 4.0, 1.0, 0.0)
"""Sizes of wear by mass in the classes of `contaminant.classes`: mostly fine; common practice, no source."""

NotNegative = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Fraction = Annotated[float, Field(ge=0, le=1)]
Celsius = Annotated[float, Field(ge=-60, le=200)]
Status = Literal["FOUND", "COMPUTED", "MEMORY", "PRACTICE", "INVENTED"]


def span(low: float, high: float) -> Any:
    """Least and greatest value of a number: wider than any rig of the trade (PRACTICE).

    The model is tried at both ends of each, `python -m tests.extremes`.
    """
    return Field(ge=low, le=high)


class Block(BaseModel):
    """A group of numbers with their source and its status."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    source: str
    status: Status


class PumpData(Block):
    """Positive-displacement pump, its pick-up and its safety relief valve."""

    displacement_ml_rev: Annotated[float, span(0.1, 200)]
    volumetric_efficiency: Fraction = 1.0
    slip_mm3: Annotated[float, span(0, 0.1)]  # leakage q = slip dp / mu
    slip_cap: Fraction  # leakage at most this share of the swept flow
    suction_r_per_m3: Annotated[float, span(1e6, 1e12)]  # pick-up pipe and strainer: dp = mu r q + rho k q^2
    # length over bore of the pick-up pipe: gelled oil needs 4 tau L/D to move
    suction_l_d: Annotated[float, span(0, 1000)] = 0.0
    # mesh of the strainer and bends: the part that hot oil feels too
    suction_k_per_m4: Annotated[float, span(0, 1e11)] = 0.0
    # absolute pressure below which vapour and foam spoil the fill
    suction_floor_kpa: Annotated[float, span(0, 100)]
    # outlet pressure at which a variable pump has no stroke left
    compensator_kpa: Annotated[float, span(100, 1e5)] | None = None
    # it begins to take stroke off this far below
    compensator_band_kpa: Annotated[float, span(10, 2e4)] = 700.0
    relief_kpa: Annotated[float, span(10, 1e5)]  # safety relief: starts to open, gauge
    relief_override_kpa: Annotated[float, span(1, 5e4)]  # rise above that at 1 L/s


class RegulatorData(Block):
    """Pressure regulator: poppet on a spring."""

    set_kpa: Annotated[float, span(0, 1e5)]
    seat_d_mm: Annotated[float, span(1, 50)]
    half_angle_deg: Annotated[float, span(10, 90)]
    rate_n_m: Annotated[float, span(10, 1e6)]
    max_lift_mm: Annotated[float, span(0.001, 30)]
    cd: Annotated[float, span(0.1, 1)]
    lag_s: Annotated[float, span(0.001, 600)]
    jam_lift_mm: Annotated[float, span(0, 30)] = 0.0  # a chip holds it open at least this far
    # passage from it to the sump: dp = mu r q, which pushes it shut
    return_r_per_m3: Annotated[float, span(0, 1e11)] = 0.0


class AirData(Block):
    """Free air that the pump draws with the oil: foam, or a suction joint that leaks."""

    share: Annotated[float, Field(ge=0, lt=0.9)] = 0.0  # of what is drawn, by volume at the air's pressure
    # it comes unevenly: one slug of this size after another
    slug_ml: Annotated[float, span(0.1, 1000)] = 20.0
    bubble_um: Annotated[float, span(10, 5000)] = 150.0  # size of the bubbles that stay in the oil


class WaterData(Block):
    """Free water in the oil, in drops that neither settle nor coalesce in the time of a run."""

    share: Annotated[float, Field(ge=0, lt=0.5)] = 0.0  # by volume
    drop_um: Annotated[float, span(1, 1000)] = 30.0


class SealData(Block):
    """Way out at the filter's seal to the open air: what goes there is lost to the sump."""

    area_mm2: Annotated[float, span(0, 1000)] = 0.0
    opens_kpa: Annotated[float, span(0, 1e5)] = 0.0  # the ring holds below this, gauge
    cd: Annotated[float, span(0.1, 1)] = 0.62


class UnloaderData(Block):
    """Unloading valve behind a fixed pump, with its check valve: it idles the pump between two pressures."""

    # pressure of the line at which the pump is sent idling, gauge
    unload_kpa: Annotated[float, span(100, 1e5)]
    load_kpa: Annotated[float, span(50, 1e5)]  # lower one at which it works again
    idle_kpa: Annotated[float, span(0, 1e5)]  # what the pump works against while it idles

    @model_validator(mode="after")
    def _apart(self) -> UnloaderData:
        if self.load_kpa >= self.unload_kpa:
            raise ValueError("load_kpa: expected less than unload_kpa")
        return self


class AccumulatorData(Block):
    """Gas accumulator on the pressure line."""

    gas_l: Annotated[float, span(0.05, 50)]  # volume of the gas with no fluid in it
    charge_kpa: Annotated[float, span(10, 1e5)]  # gauge pressure of the gas then, as warm as its wall
    tau_s: Annotated[float, span(0.01, 1e7)]  # time in which the gas takes the temperature of its wall


class GalleryData(Block):
    """Oil passages of the engine, its bearings and piston jets."""

    volume_l: Annotated[float, span(0.01, 500)]
    trapped_air: Fraction  # share of the volume that never vents, at 1 bar
    head_kpa: Annotated[float, span(0.1, 100)]  # back pressure of the full height of oil while it fills
    # capillary pressure with which the clearances hold oil against draining
    hold_kpa: Annotated[float, span(0, 100)] = 0.0
    # radius over clearance: rate of shear = this times angular speed
    bearing_shear: Annotated[float, span(0, 1e4)] = 0.0
    bearing_mm3: Annotated[float, span(0, 10)]  # laminar clearances: q = bearing p / mu(bearing)
    jet_area_mm2: Annotated[float, span(0, 100)]
    jet_cd: Annotated[float, span(0.1, 1)]
    jet_check_kpa: Annotated[float, span(0, 1e4)] = 0.0  # pressure that opens the ball checks of the jets


class HousingData(Block):
    """Elasticity of the filter can, its hose and its oil."""

    bulk_mpa: Annotated[float, span(50, 3000)]  # effective bulk modulus of oil, can and hose
    head_kpa: Annotated[float, span(0.1, 100)]  # back pressure of the full height of oil while it fills
    metal_j_k: Annotated[float, span(0, 1e5)]
    # head of the filter above the oil of the sump: what drains it at rest
    drop_kpa: Annotated[float, span(0, 100)] = 0.0
    # instead of the filter's own: q = leak dp/mu
    antidrain_leak_mm3: Annotated[float, span(0, 1000)] | None = None


class SumpData(Block):
    """Oil sump."""

    volume_l: Annotated[float, span(0.01, 1e4)]
    unport_l: Annotated[float, span(0.01, 200)]  # below this the pick-up draws air


class HeatData(Block):
    """Lumped heat balance."""

    preheat_w: Annotated[float, span(0, 1e5)] = 0.0  # heaters on sump and engine, half each
    engine_w: Annotated[float, span(0, 5e5)]  # heat into the block at `reference_rpm`
    engine_exponent: Annotated[float, span(0, 4)]
    reference_rpm: Annotated[float, span(100, 10000)]
    block_j_k: Annotated[float, span(100, 1e7)]
    bearing_j_k: Annotated[float, span(10, 1e6)]
    bearing_drag_l: Annotated[float, span(0, 2000)]  # shear heat = drag mu omega^2 (Petroff)
    bearing_drag_limit_nm: Annotated[float, span(0.1, 1000)]  # torque that the crank can put into it
    block_air_w_k: Annotated[float, span(0, 1e4)]
    block_sump_w_k: Annotated[float, span(0, 1e4)]
    block_gallery_w_k: Annotated[float, span(0, 1e4)]
    bearing_block_w_k: Annotated[float, span(0, 1e4)]
    bearing_gallery_w_k: Annotated[float, span(0, 1e4)]
    sump_air_w_k: Annotated[float, span(0, 1e4)]
    filter_air_w_k: Annotated[float, span(0, 1e4)]
    cooler_w_k: Annotated[float, span(0, 1e5)]  # at the reference speed
    cooler_air_exponent: Annotated[float, span(0, 4)] = 0.0  # W/K in proportion to speed^this, as its air is
    thermostat_c: Celsius
    thermostat_span_c: Annotated[float, span(0.1, 100)]


class GaugeData(Block):
    """Pressure gauge."""

    tap: Literal["gallery", "inlet"] = "gallery"
    lag_s: Annotated[float, span(0.001, 600)]  # of needle and snubber in thin oil
    # further lag for each Pa s in its line, as warm as the block
    line_s_per_pa_s: Annotated[float, span(0, 1000)] = 0.0
    scale: Annotated[float, span(0.01, 10)] = 1.0
    offset_kpa: Annotated[float, span(-1e5, 1e5)] = 0.0
    green_kpa: Annotated[float, span(0, 1e5)]


class IndicatorData(Block):
    """Differential-pressure indicator: pops, latches, locked out while the oil is cold."""

    fitted: bool = True
    trip_kpa: Annotated[float, span(0.01, 1e5)]
    lockout_c: Celsius
    # its damping: what it senses follows the pressure this slowly
    response_s: Annotated[float, span(0, 600)] = 0.0


class DirtData(Block):
    """Contaminant: what is in the oil, what comes in, and of what sizes."""

    start_mg: Annotated[float, span(0, 1e6)] = 0.0  # in the oil at the start
    start: DustName = "a2"  # its sizes: a test dust
    # made by wear at the reference speed, in proportion to the speed
    wear_mg_h: Annotated[float, span(0, 1e5)] = 0.0
    wear_iron: Fraction = 0.6  # share of its mass that a magnet takes
    wear_pct: tuple[NotNegative, ...] = WEAR_PCT  # share of its mass in each size class
    # let in from outside at the reference speed, in proportion to the speed
    dust_mg_h: Annotated[float, span(0, 1e7)] = 0.0
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
