"""The spin-on can with a pleated element."""
