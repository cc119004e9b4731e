"""Scenario files, prompts and marking."""
