"""Diagnosis cases: a hidden fault, tests that cost minutes, belief, a verdict."""
