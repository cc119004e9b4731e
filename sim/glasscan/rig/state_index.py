"""Where each number of the state vector stands.

The first `IMPLICIT` numbers are solved together by the implicit method, with an accumulator its gas too; the
rest are running totals that feed nothing back within a step. The contaminant has its own record,
`glasscan.contaminant.stocks`.
"""

from __future__ import annotations

CAN, GALLERY, LIFT, SPEED, BRISTLE, REG, GAUGE = range(7)  # m3 over full (two), m, m/s, m, m, Pa
T_SUMP, T_FILTER, T_GALLERY, T_BEARING, T_BLOCK = range(7, 12)  # degC
LEAKED = 12  # out of the rig for good since the start, m3: the sump has so much less
IMPLICIT = 13
GAS = 13  # entropy of the accumulator's gas, dimensionless; see `glasscan.laws.gas_charge`
PUMPED, RETURNED, FILTERED, UNFILTERED = range(14, 18)  # m3
WORK, HEAT = range(18, 20)  # of the pump and of all throttling, J
SIZE = 20
