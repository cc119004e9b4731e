"""A made-up can and a made-up rig with smooth fields, so that drawing is tested without the solver.

Nothing here is physics: the shapes and curves only have the right size and order of magnitude.
"""

from dataclasses import dataclass, field, replace

import numpy as np
from glasscan.rig.records import Event, Snapshot, ValveForces

MM = 1e-3


@dataclass(frozen=True)
class Spring:
    """A coil spring."""

    radius_m: float
    wire_m: float
    fixed_z_m: float
    free_z_m: float
    coils: int
    along_r: bool = False
    at_z_m: float = 0.0


@dataclass(frozen=True)
class Opening:
    """A way in or out."""

    z: float
    r0: float
    r1: float
    inward: int


@dataclass(frozen=True)
class Ways:
    """Ways in and out."""

    inlet: Opening = Opening(0.0, 18 * MM, 24 * MM, 1)
    outlet: Opening = Opening(0.0, 0.0, 9 * MM, 1)


@dataclass(frozen=True)
class Part:
    """One part."""

    name: str
    outlines: tuple
    material: str
    label_at: tuple
    lifts: bool = False
    spring: Spring | None = None
    direction: tuple = (0.0, -1.0)
    mirrored: bool = True
    ghost: bool = False
    left_only: bool = False
    about: str = "Made up for the test: it does one thing, and says so in one sentence."

    @property
    def key(self):
        """Short word."""
        return self.name.lower().replace(" ", "-")


@dataclass(frozen=True)
class Frame:
    """One moment's field."""

    pressure_pa: np.ndarray
    u_r_m_s: np.ndarray
    u_z_m_s: np.ndarray
    region: np.ndarray


def box(r0, r1, z0, z1):
    """Rectangle in mm as an outline in m."""
    return np.array([(r0, z0), (r1, z0), (r1, z1), (r0, z1)]) * MM


def dome(radius, top, height, points=40):
    """Quarter ellipse from the side to the axis, mm."""
    a = np.linspace(0, np.pi / 2, points)
    return np.stack([radius * np.cos(a), top + height * np.sin(a)], axis=1)


def shell():
    """Drawn steel can with its dome."""
    outer = np.vstack([[(37.8, 0.0)], dome(37.8, 101, 14.8)])
    inner = np.vstack([dome(37.0, 101, 14)[::-1], [(37.0, 0.0)]])
    return np.vstack([outer, inner]) * MM


PARTS = (
    Part("Can (shell)", (shell(),), "steel", (37.4 * MM, 70 * MM)),
    Part(
        "Base plate and inlet holes",
        (box(13, 18, 0, 4), box(24, 37, 0, 4), box(9, 13, 0, 12)),
        "steel",
        (31 * MM, 2 * MM),
    ),
    Part("Seal", (box(31, 35, -3, 1),), "rubber", (33 * MM, -1.5 * MM)),
    Part("Anti-drain valve", (box(13, 29, 6, 7.2),), "rubber", (24 * MM, 6.6 * MM)),
    Part("Lower end cap", (box(13, 32, 10.5, 12),), "steel", (28 * MM, 11.2 * MM)),
    Part("Pleated element", (box(16, 32, 12, 96),), "medium", (24 * MM, 54 * MM)),
    Part("Centre tube", (box(15, 16, 12, 96),), "core", (15.5 * MM, 36 * MM)),
    Part("Upper end cap", (box(6, 32, 96, 97.5),), "steel", (27 * MM, 96.7 * MM)),
    Part("Spring seat", (box(0, 8, 80.5, 82),), "steel", (7 * MM, 81 * MM)),
    Part(
        "Valve spring",
        (),
        "spring",
        (5.5 * MM, 88 * MM),
        spring=Spring(5 * MM, 1.2 * MM, 82 * MM, 94.5 * MM, 4),
    ),
    Part("Bypass valve", (box(0, 7.5, 94.5, 96),), "steel", (4 * MM, 95.2 * MM), True),
)


class Section:
    """The can with a smooth field."""

    def __init__(self):
        self.parts = PARTS
        self.layout = Ways()
        self.r_edges_m = np.linspace(0, 38 * MM, 77)
        self.z_edges_m = np.linspace(-4 * MM, 116 * MM, 241)
        r = (self.r_edges_m[1:] + self.r_edges_m[:-1]) / 2 / MM
        z = (self.z_edges_m[1:] + self.z_edges_m[:-1]) / 2 / MM
        self.r, self.z = np.meshgrid(r, z)
        self.region = self._regions()

    def _regions(self):
        r, z = self.r, self.z
        code = np.zeros(r.shape, dtype=np.int8)
        inside = (r < 37) & (z > 4) & ((z < 101) | ((r / 37) ** 2 + ((z - 101) / 14) ** 2 < 1))
        code[inside & ((r > 32) | (z > 97.5) | (z < 10.5))] = 1
        code[(r > 18) & (r < 24) & (z <= 4) & (z > -4)] = 1
        code[(r < 15) & (z < 96) & (z >= 12)] = 2
        code[(r < 9) & (z < 12)] = 2
        code[(r >= 9) & (r < 13) & (z < 12)] = 0
        code[(r > 16) & (r < 32) & (z > 12) & (z < 96)] = 3
        code[(r < 6) & (z > 96) & (z < 97.5)] = 4
        return code

    def frame(self, snapshot):
        """A field that falls from inlet to outlet through the element."""
        r, z, code = self.r, self.z, self.region
        p = np.full(r.shape, np.nan, dtype=np.float32)
        p_in, p_out = snapshot.inlet_pa, snapshot.outlet_pa
        dp = p_in - p_out
        p[code == 1] = p_in - 0.04 * dp * (z[code == 1] / 116)
        p[code == 3] = p_out + 0.06 * dp + 0.88 * dp * (r[code == 3] - 16) / 16
        p[code == 2] = p_out + 0.06 * dp * z[code == 2] / 96
        p[code == 4] = p_out + 0.5 * dp
        scale = (snapshot.element_m3s + snapshot.bypass_m3s) / 5e-4
        u_r = np.where(code == 3, -0.02, np.where(code == 1, -0.05, 0.0)) * scale
        u_z = np.where(code == 1, 0.4, np.where(code == 2, -0.5, 0.0)) * scale
        u_z = np.where(code == 4, -1.0, u_z) * 1.0
        return Frame(p, u_r.astype(np.float32), u_z.astype(np.float32), code)


class Carriers:
    """Marks going round by made-up paths: up the annulus, through the element or the valve, down the tube."""

    def __init__(self, count=900, seed=3, bypass_share=0.3):
        rng = np.random.default_rng(seed)
        self.phase = rng.uniform(0, 1, count)
        self.height = rng.uniform(14, 94, count)
        self.wide = rng.uniform(0, 1, count)
        self.by = rng.uniform(0, 1, count) < bypass_share
        self._place()

    def _place(self):
        p, h, w = self.phase, self.height, self.wide
        top = np.where(self.by, 103.0, h)
        up = np.clip(p / 0.4, 0, 1)
        across = np.clip((p - 0.4) / 0.2, 0, 1)
        down = np.clip((p - 0.6) / 0.4, 0, 1)
        side_r = 32.6 + 3.8 * w
        end_r = np.where(self.by, 5 * w, 14 * w)
        r = np.where(p < 0.4, side_r, side_r + (end_r - side_r) * across)
        start = np.where(self.by & (p >= 0.6), 92.0, top)
        z = np.where(p < 0.4, 6 + (top - 6) * up, np.where(p < 0.6, top, start + (1 - start) * down))
        self.positions_m = np.stack([r, z], axis=1) * MM
        self.kind = np.where(p < 0.5, 0, np.where(self.by, 2, 1))

    def step(self, frame, dt_s):
        """Drift along the path."""
        del frame
        self.phase = (self.phase + 0.35 * dt_s) % 1.0
        self._place()


BASE = Snapshot(
    t_s=0.0, rpm=0.0, air_c=-5.0, sump_c=-5.0, filter_c=-5.0, gallery_c=-5.0, mu_pa_s=4.0, nu_m2_s=4.4e-3,
    rho_kg_m3=905.0, inlet_pa=0.0, outlet_pa=0.0, dp_pa=0.0, gauge_pa=0.0, gallery_pa=0.0, pump_m3s=0.0,
    element_m3s=0.0, bypass_m3s=0.0, regulator_m3s=0.0, bearings_m3s=0.0, segment_m3s=np.zeros(12),
    lift_m=0.0,
    valve=ValveForces(0.0, -11.0, 0.0, 0.0, 11.0), gallery_fill=0.0, unfiltered_m3=0.0, filtered_m3=0.0,
    deposit_kg=np.zeros(12), regulator_lift_m=0.0, regulator_before=False, indicator=False,
)  # fmt: skip


def snapshot_at(t_s, rpm=900.0):
    """A made-up cold start: the difference rises with the rpm and falls as the oil warms."""
    run = float(np.clip((t_s - 2) / 3, 0, 1))
    oil = -5 + 65 * (1 - np.exp(-max(t_s - 5, 0) / 260))
    dp = 210e3 * run * np.exp(-max(t_s - 5, 0) / 170)
    lift = float(np.clip((dp - 96.5e3) / 40e3, 0, 1)) * 3 * MM
    flow = 3.2e-4 * run
    share = 0.75 * lift / (3 * MM)
    outlet = 420e3 * run
    area = np.pi * (6 * MM) ** 2
    return replace(
        BASE, t_s=t_s, rpm=rpm * run, filter_c=oil, sump_c=oil + 2, inlet_pa=outlet + dp, outlet_pa=outlet,
        dp_pa=dp,
        gauge_pa=outlet, pump_m3s=flow, element_m3s=flow * (1 - share), bypass_m3s=flow * share, lift_m=lift,
        valve=ValveForces(
            dp * area, -(10.9 + 2000 * lift), -0.3 * share, 0.0, max(0.0, 10.9 + 2000 * lift - dp * area)
        ),
        unfiltered_m3=min(t_s, 200) * 8e-5 * run,
    )  # fmt: skip


@dataclass
class Engine:
    """A rig whose state is a function of time only, so rewinding is exact."""

    t_s: float = 0.0
    rpm: float = 900.0
    controls: dict = field(default_factory=dict)
    stored: list = field(default_factory=list)
    seconds_stepped: float = 0.0
    known_s: float = 0.0

    @property
    def fluid(self):
        """Name of the oil."""
        return self.controls.get("fluid", "sae-50")

    @property
    def events(self):
        """Marks of the made-up run, as far as it has come."""
        every = (
            Event(3.4, "bypass-cracks", 97e3, -5.0),
            Event(5.0, "bypass-full", 205e3, -5.0),
            Event(24.0, "gallery-full", 180e3, -0.5),
            Event(137.0, "bypass-seats", 96e3, 20.0),
        )
        return [e for e in every if e.t_s <= self.t_s]

    def snapshot(self):
        """State now."""
        now = snapshot_at(self.t_s, self.rpm)
        return replace(
            now,
            regulator_before=self.controls.get("regulator") == "before",
            air_c=self.controls.get("air_c", now.air_c),
        )

    def advance(self, dt_s):
        """Move on and store one snapshot; what was stored after this moment is forgotten."""
        self.t_s += dt_s
        self.known_s = self.t_s
        self.seconds_stepped += dt_s
        self.stored.append(self.snapshot())

    def seek(self, t_s, exactly=True):
        """Go to a stored moment."""
        del exactly
        self.t_s = t_s

    def set(self, key, value):
        """Live controls; only the rpm changes anything here. What is known of the future is forgotten."""
        self.known_s = self.t_s
        self.controls[key] = value
        if key == "rpm":
            self.rpm = value


def run_to(t_s, every_s=0.5):
    """An engine that has come to a moment."""
    engine = Engine()
    while engine.t_s < t_s - 1e-9:
        engine.advance(min(every_s, t_s - engine.t_s))
    return engine
