"""Glasscan: a teaching simulator of what happens inside oil and hydraulic filters."""

__version__ = "0.1.0"
