"""The whole can by finite elements, independent of the project's solver: `python -m tests.filters.fem_can
[lift_mm]`.

Taylor-Hood (biquadratic velocity, bilinear pressure) in the (r, z) plane by scikit-fem, on quadrilaterals
that follow dome and lip; dirty side, throat and clean side are one domain. Sizes come from the filter's data
file; no code of the project but the reader is used. Lengths in mm, so a resistance is 1/mm3.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass

import numpy as np
import yaml
from glasscan.paths import asset

WEDGE_MM = 0.7  # left out where the lip meets the boss: a dead corner that no quadrilateral fills


@dataclass(frozen=True)
class CanDrop:
    """Drop over viscosity and flow, share past the element, force on the disc over viscosity and flow."""

    resistance_per_m3: float
    past_share: float
    push_per_m: float


def solve(lift_mm: float, medium_r: float, fine: float = 1.0) -> CanDrop:
    """The can with its valve held open.

    Args:
        lift_mm: of the disc.
        medium_r: resistance of the whole element, 1/m3.
        fine: elements per length relative to the usual mesh.
    """
    import skfem
    from scipy.sparse import bmat
    from scipy.sparse.linalg import splu

    data = yaml.safe_load(asset("filters", "can-full-flow.yaml").read_text(encoding="utf-8"))
    mesh = _mesh(data, lift_mm, fine)
    vb = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementQuad2()), intorder=5)
    pb = vb.with_element(skfem.ElementQuad1())
    a, b = _viscous().assemble(vb), _flux().assemble(vb, pb)
    nodes, walls = vb.doflocs, vb.get_dofs(mesh.boundary_facets()).all()
    radial = np.zeros(vb.N, dtype=bool)
    radial[np.concatenate([vb.nodal_dofs[0], vb.facet_dofs[0], vb.interior_dofs[0]])] = True
    axis = walls[(nodes[0, walls] < 1e-9) & ~radial[walls]]
    ends = _ends(data)
    inner_axis = axis[[not ends.on_port(nodes[0, n], nodes[1, n]) for n in axis]]
    held = np.setdiff1d(walls, inner_axis)
    fields = [_balanced(ends.parts(nodes, radial, held, past), b) for past in (False, True)]
    vertices = pb.nodal_dofs[0]
    free = np.setdiff1d(np.arange(vb.N), held)
    system = bmat([[a[free][:, free], -b[1:, free].T], [-b[1:, free], None]], "csc")
    lu = splu(system)
    answers = []
    for known in fields:
        right = np.concatenate([-(a @ known)[free], (b @ known)[1:]])
        found = lu.solve(right)
        u = known.copy()
        u[free] = found[: len(free)]
        answers.append((u, np.concatenate([[0.0], found[len(free) :]])))
    power = np.array([[2 * np.pi * x[0] @ (a @ y[0]) for y in answers] for x in answers]) * 1e9
    force = np.array([_force(data, lift_mm, mesh, p[vertices]) for _, p in answers]) * 1e3
    past = (power[0, 0] + medium_r - power[0, 1]) / (power[0, 0] + medium_r - 2 * power[0, 1] + power[1, 1])
    flows = np.array([1 - past, past])
    return CanDrop(float(flows @ power @ flows + medium_r * flows[0] ** 2), float(past), float(force @ flows))


PROBES = ((4.0, 20.0), (4.0, 60.0), (10.0, 40.0), (35.0, 30.0), (35.0, 70.0))
"""(r, z), mm: centre tube and annulus."""


def laminar(re: float, fine: float = 1.0) -> np.ndarray:
    """(u_r, u_z) over the mean outlet speed at the probes: steady Navier-Stokes, valve shut, even flow.

    Newton's method, continued in the Reynolds number of the outlet.
    """
    import skfem
    from scipy.sparse import bmat
    from scipy.sparse.linalg import splu
    from skfem.helpers import dot, mul

    data = yaml.safe_load(asset("filters", "can-full-flow.yaml").read_text(encoding="utf-8"))
    mesh = _mesh(data, 0.05, fine)
    vb = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementQuad2()), intorder=5)
    pb = vb.with_element(skfem.ElementQuad1())
    a, b = _viscous().assemble(vb), _flux().assemble(vb, pb)
    held, known = _held(data, mesh, vb, b)
    free = np.setdiff1d(np.arange(vb.N), held)
    carried = skfem.BilinearForm(
        lambda u, v, w: w.x[0] * dot(mul(w["at"].grad, u.value) + mul(u.grad, w["at"].value), v.value)
    )
    carry = skfem.LinearForm(lambda v, w: w.x[0] * dot(mul(w["at"].grad, w["at"].value), v.value))
    hub, u, p = data["base"]["hub_radius_mm"], known, np.zeros(pb.N)
    for step in np.linspace(0.0, 1.0, 4):
        strength = step * re * np.pi * hub / 2  # flow 1 over viscosity: Re = 2 Q/(pi R nu)
        for _ in range(12):
            at = vb.interpolate(u)
            k = a + strength * carried.assemble(vb, at=at)
            system = bmat([[k[free][:, free], -b[1:, free].T], [-b[1:, free], None]], "csc")
            force = a @ u + strength * carry.assemble(vb, at=at) - b.T @ p
            move = splu(system).solve(np.concatenate([-force[free], (b @ u)[1:]]))
            u = u.copy()
            u[free] += move[: len(free)]
            p = p + np.concatenate([[0.0], move[len(free) :]])
            if np.abs(move[: len(free)]).max() < 1e-8 * np.abs(u).max():
                break
    places = np.array(PROBES).T
    values = (vb.probes(places) @ u).reshape(2, -1)
    return np.asarray(values.T * np.pi * hub**2)


def _held(data, mesh, vb, b) -> tuple[np.ndarray, np.ndarray]:
    """Held velocities and their values for an even flow through the element."""
    nodes, walls = vb.doflocs, vb.get_dofs(mesh.boundary_facets()).all()
    radial = np.zeros(vb.N, dtype=bool)
    radial[np.concatenate([vb.nodal_dofs[0], vb.facet_dofs[0], vb.interior_dofs[0]])] = True
    axis, ends = walls[(nodes[0, walls] < 1e-9) & ~radial[walls]], _ends(data)
    inner_axis = axis[[not ends.on_port(nodes[0, n], nodes[1, n]) for n in axis]]
    held = np.setdiff1d(walls, inner_axis)
    return held, _balanced(ends.parts(nodes, radial, held, False), b)


def _viscous():
    import skfem
    from skfem.helpers import ddot, sym_grad

    def form(u, v, w):
        r = w.x[0]
        return r * 2.0 * ddot(sym_grad(u), sym_grad(v)) + 2.0 * u[0] * v[0] / r

    return skfem.BilinearForm(form)


def _flux():
    import skfem
    from skfem.helpers import div

    return skfem.BilinearForm(lambda u, q, w: (w.x[0] * div(u) + u[0]) * q)


@dataclass(frozen=True)
class _Ports:
    """Ways in and out, mm."""

    hole: tuple[float, float]
    hub: float
    band: tuple[float, float]
    faces: tuple[float, float]

    def on_port(self, r: float, z: float) -> bool:
        """A node of the outlet on the axis."""
        return z < 1e-9 and r < self.hub + 1e-9

    def parts(self, nodes, radial, held, past: bool) -> list[tuple[np.ndarray, float]]:
        """Velocities of each port at the held nodes, not yet scaled, and the flow out of each."""
        r, z = nodes[0, held], nodes[1, held]
        a, b = self.hole
        inlet = (z < 1e-9) & (r > a - 1e-9) & ~radial[held]
        profile = b**2 - r**2 + (b**2 - a**2) * np.log(np.maximum(r, 1e-9) / b) / np.log(b / a)
        outlet = (z < 1e-9) & (r < self.hub + 1e-9) & ~radial[held]
        found = [(inlet, profile, -1.0), (outlet, r**2 - self.hub**2, 1.0)]
        if not past:
            z0, z1 = self.band
            along = (z > z0 + 1e-9) & (z < z1 - 1e-9) & radial[held]
            found += [
                (along & (abs(r - face) < 1e-9), -np.ones(len(r)), sign)
                for face, sign in zip(self.faces, (1.0, -1.0), strict=True)
            ]
        parts = []
        for where, speed, flow in found:
            out = np.zeros(nodes.shape[1])
            out[held[where]] = speed[where]
            parts.append((out, flow))
        return parts


def _balanced(parts: list[tuple[np.ndarray, float]], b) -> np.ndarray:
    """Sum of the ports, each scaled so that its discrete flux is exact."""
    return np.sum([out * flow / (2 * np.pi * float((b @ out).sum())) for out, flow in parts], axis=0)


def _ends(data) -> _Ports:
    base, element = data["base"], data["element"]
    inner = base["hole_circle_radius_mm"] - base["hole_mm"] / 2
    return _Ports(
        (inner, inner + base["hole_mm"]),
        base["hub_radius_mm"],
        (element["bottom_mm"], element["top_mm"]),
        (element["outer_radius_mm"], element["inner_radius_mm"] - element["core_mm"]),
    )


def _graded(marks: list[tuple[float, float]], end: float, fine: float) -> np.ndarray:
    """Lines through every mark, cells no larger than the mark says from there on."""
    places = [m[0] for m in marks] + [end]
    pieces = []
    for (low, size), high in zip(marks, places[1:], strict=True):
        pieces.append(
            np.linspace(low, high, max(1, int(np.ceil((high - low) * fine / size - 1e-9))) + 1)[:-1]
        )
    return np.concatenate([*pieces, [end]])


def _towards(low: float, high: float, first: float, fine: float) -> list[float]:
    """Marks that double away from both ends of a piece, first elements beside them."""
    steps, at, half = [], 0.0, (high - low) / 2
    size = first / fine
    while at + size < 0.8 * half:
        at += size
        steps.append(at)
        size *= 1.7
    return [low, *(low + s for s in steps), *(high - s for s in steps[::-1])]


def _mesh(data, lift: float, fine: float):
    """Quadrilaterals of the oil, mm."""
    import skfem

    base, element, valve, shell, lip = (data[k] for k in ("base", "element", "valve", "shell", "antidrain"))
    seat, rim, thick = valve["seat_mm"] / 2, valve["poppet_mm"] / 2, valve["poppet_thick_mm"]
    tube, outer = element["inner_radius_mm"] - element["core_mm"], element["outer_radius_mm"]
    hole = base["hole_circle_radius_mm"] - base["hole_mm"] / 2
    first = min(lift / 6, 0.05)
    rs = [(0.0, 1.2), (seat - 2, 0.5)]
    sides = ((seat - 1, seat), (seat, rim), (rim, rim + 1))
    rs += [(x, 9.0) for lo, hi in sides for x in _towards(lo, hi, first, fine)]
    boss = base["boss_radius_mm"]
    rs += [(rim + 1, 0.6), (boss, WEDGE_MM), (boss + WEDGE_MM, 0.6), (tube, 1.0), (hole, 0.75)]
    rs += [(hole + base["hole_mm"], 0.8), (lip["lip_radius_mm"], 0.75), (outer, 0.5)]
    r = _graded(sorted(rs), shell["inner_radius_mm"], fine)
    top, bottom, cap = element["top_mm"], element["bottom_mm"], element["cap_mm"]
    low, up = base["plate_mm"] + lip["lip_gap_mm"], base["plate_mm"] + lip["lip_gap_mm"] + lip["thickness_mm"]
    zs = [(0.0, 0.8), (base["plate_mm"], 0.5), (low, 0.6), (up, 0.4), (bottom - cap, 0.4), (bottom, 0.1)]
    zs += [(bottom + 0.5, 2.5), (top - lift - thick - 3, 0.5), (top - lift - thick - 0.3, 0.15)]
    zs += [(top - lift - thick, 0.2)]
    gaps = ((top - lift, top), (top, top + cap))
    zs += [(x, 9.0) for lo, hi in gaps for x in _towards(lo, hi, first, fine)]
    zs += [(top + cap, 0.5), (top + cap + 3, 1.2)]
    crown = shell["straight_top_mm"] + shell["dome_height_mm"]
    z = _graded(sorted(zs), crown, fine)
    whole = skfem.MeshQuad.init_tensor(r, z)

    def solid(p):
        x, y = p
        oil = (x > hole) & (x < hole + base["hole_mm"]) & (y < base["plate_mm"])
        in_lip = (x < lip["lip_radius_mm"]) & (y > low) & (y < up)
        wedge = (x < base["boss_radius_mm"] + WEDGE_MM) & (y > up)
        oil |= (x > base["boss_radius_mm"]) & (y > base["plate_mm"]) & (y < bottom - cap) & ~in_lip & ~wedge
        oil |= (x > outer) & (y > bottom - cap) | (y > top + cap)
        oil |= (x < seat) & (y > top)
        disc = (x < rim) & (y > top - lift - thick) & (y < top - lift)
        oil |= (x < tube) & (y > bottom) & (y < top) & ~disc
        oil |= (x < base["hub_radius_mm"]) & (y < bottom)
        return ~oil

    mesh = whole.remove_elements(whole.elements_satisfying(solid))
    return skfem.MeshQuad(
        _moved(mesh.p, data, (base["plate_mm"], low, up, bottom - cap), top + cap, crown), mesh.t
    )


def _moved(p, data, levels, over: float, crown: float):
    """Nodes moved so that lines follow the lip and the dome."""
    base, shell, lip = data["base"], data["shell"], data["antidrain"]
    x, y = p[0].copy(), p[1].copy()
    plate, _, up, cap = levels
    r0, r1 = base["boss_radius_mm"], lip["lip_radius_mm"]
    rise = (cap - up) * (1 - np.clip((x - r0) / (r1 - r0), 0, 1))
    under = (x > r0 - 1e-9) & (y > plate) & (y < cap)
    y[under] += np.interp(y[under], levels, (0.0, 1.0, 1.0, 0.0)) * rise[under]
    bend = np.sqrt(1 - np.minimum(x / shell["inner_radius_mm"], 1) ** 2)
    roof = shell["straight_top_mm"] + shell["dome_height_mm"] * bend
    above = p[1] > over
    y[above] = over + (p[1][above] - over) * (roof[above] - over) / (crown - over)
    return np.array([x, y])


def _force(data, lift: float, mesh, pressure) -> float:
    """Pressure integral on the disc, opening positive; the pressure is linear from node to node."""
    valve, face = data["valve"], data["element"]["top_mm"] - lift
    rim, total = valve["poppet_mm"] / 2, 0.0
    for at, sign in ((face, 1.0), (face - valve["poppet_thick_mm"], -1.0)):
        on = np.flatnonzero((abs(mesh.p[1] - at) < 1e-7) & (mesh.p[0] < rim + 1e-7))
        on = on[np.argsort(mesh.p[0, on])]
        r, p = mesh.p[0, on], pressure[on]
        middle = (p[1:] + p[:-1]) * (r[1:] + r[:-1]) / 4  # Simpson's rule is exact for a product of two lines
        total += (
            sign * 2 * np.pi * float(((p[1:] * r[1:] + p[:-1] * r[:-1] + 4 * middle) * np.diff(r) / 6).sum())
        )
    return total


def main() -> None:
    """Print the can at a lift, or at the four of the table, on two meshes."""
    lifts = [float(word) for word in sys.argv[1:]] or [0.25, 0.5, 1.0, 1.5]
    for lift in lifts:
        for fine in (1.0, 1.5):
            print(lift, fine, solve(lift, MEDIUM_R, fine), flush=True)


MEDIUM_R = 4.87097425e8  # 1/m3: paper and pleat channels of the shipped element (its closed form)

if __name__ == "__main__":
    main()
