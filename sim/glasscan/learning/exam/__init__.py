"""Exam papers: made from scenarios and a seed, sat against the clock, marked where the keys are."""
