"""Spaced review: what is due today, and which lessons the weak codes point to."""
