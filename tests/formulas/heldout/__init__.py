"""Figures against values worked out another way: libraries, quadrature, direct solution, printed tables."""
