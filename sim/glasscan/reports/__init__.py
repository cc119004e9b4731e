"""Trace files, pictures and printable pages."""
