"""Fault diagnosis in the window: start, case, unsafe end, and what is told after the verdict."""
