"""Marking rules: plain functions from answers to credit, with no knowledge of scenarios or screens."""
