"""A run of the machine as it stands: what is open, loose or empty shows at once, or after hours."""

from __future__ import annotations

from glasscan.workshop.machine import Machine
from glasscan.workshop.machine_data import machines_data

DRY_SHARE = 0.2
"""Share of the sump below which the pick-up draws air: `unport_l` over `volume_l` in the plant data."""
LOST_L = 2.0
"""Oil lost at a joint without a seal before somebody stops it, L: half a minute at some L/min."""
STREAM, DROPS, WEEP, TIGHT = 3, 2, 1, 0


def leak_of(m: Machine, joint: str) -> int:
    """How a joint leaks under pressure: 0 tight, 1 weep, 2 drops, 3 stream."""
    now, kind = m.joints[joint], m.kind_of(joint)
    if not now.closed or not now.rings:
        return STREAM
    if len(now.rings) > 1:
        return TIGHT  # two gaskets hold at first and let go at a pulse of pressure (accident summaries)
    low, _, tears = kind.torque_nm
    if now.damaged or now.torque_nm < 0.4 * low or now.torque_nm >= tears:
        return DROPS
    new = "new" in now.rings
    fit = machines_data().rings[kind.ring].fit(now.lubricant)
    folded = new and fit == "dry" and now.touched
    tired = now.touched and not new  # a ring or washer that was crushed once does not seal twice
    return WEEP if now.torque_nm < low or folded or tired else TIGHT


def run(m: Machine) -> Machine:
    """Start, warm up, stop. Consequences come at once; the work goes on where nobody is hurt."""
    m = m.but(safe=False)
    if m.open_joints:
        names = " and ".join(m.kind_of(j).title for j in m.open_joints)
        m = m.poured(m.oil_l["sump"], "sump", "floor").poured(m.oil_l["filter"], "filter", "floor")
        m = m.noted("ran-dry")
        return m.told(f"It was started with the {names} open. The oil is on the floor.", "machine")
    if m.oil_l["sump"] + m.oil_l["filter"] < DRY_SHARE * m.what.sump_l:
        m = m.noted("ran-dry")
        return m.told("Started with an empty sump: no pressure comes, the bearings ran dry.", "machine")
    if m.oil_l["filter"] <= 0.0 and m.kind != "can":
        m = m.noted("ran-empty")  # a can that stands dome up can only be filled by the pump
    m = m.poured(max(m.what.filter_l - m.oil_l["filter"], 0.0), "sump", "filter")
    for name in m.joints:
        if leak_of(m, name) == STREAM:
            m = m.poured(LOST_L, "sump", "floor")
            m = m.told(
                f"Oil pours from the {m.kind_of(name).title}: no seal lies in it. It was stopped.", "oil"
            )
    return m.but(ran=True, looked=False, warm=True)
