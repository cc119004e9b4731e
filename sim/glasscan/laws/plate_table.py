"""Orifice plates in a pipe at low Reynolds number: measured and computed table of Hollingshead 2011.

Data, not code: Discharge Coefficient Performance of Venturi, Standard Concentric Orifice Plate, V-Cone and
Wedge Flow Meters at Small Reynolds Numbers (MSc thesis, Utah State University, 2011), as reproduced in the
open library `fluids` (status: FOUND).
"""

# fmt: off
PLATE_RE = (
    1.0, 5.0, 10.0, 20.0, 30.0, 40.0, 60.0, 80.0, 100.0, 200.0, 300.0, 500.0, 1e3, 2e3, 3e3, 5e3, 1e4, 1e5,
    1e6, 1e7, 5e7,
)
"""Reynolds number on the pipe diameter."""
PLATE_CD: dict[float, tuple[float, ...]] = {
    0.5: (0.233, 0.478, 0.585, 0.654, 0.677, 0.688, 0.697, 0.700, 0.702, 0.699, 0.693, 0.684, 0.67, 0.648,
          0.639, 0.632, 0.629, 0.619, 0.615, 0.614, 0.614),
    0.6: (0.212, 0.448, 0.568, 0.657, 0.689, 0.707, 0.721, 0.725, 0.727, 0.725, 0.719, 0.707, 0.688, 0.658,
          0.642, 0.633, 0.624, 0.61, 0.605, 0.602, 0.595),
    0.65: (0.202, 0.425, 0.546, 0.648, 0.692, 0.715, 0.738, 0.748, 0.754, 0.764, 0.763, 0.755, 0.736, 0.685,
           0.666, 0.656, 0.641, 0.622, 0.612, 0.61, 0.607),
    0.7: (0.191, 0.407, 0.532, 0.644, 0.696, 0.726, 0.756, 0.772, 0.781, 0.795, 0.796, 0.788, 0.765, 0.7,
          0.67, 0.659, 0.646, 0.623, 0.616, 0.607, 0.604),
}
"""Discharge coefficient, with the velocity of approach taken out, by diameter ratio."""
# fmt: on
