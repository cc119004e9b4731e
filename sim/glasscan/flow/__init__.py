"""Creeping flow on a staggered grid with cut cells: grid, faces, shear links, solver, superposition."""
