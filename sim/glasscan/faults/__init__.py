"""Faults as changes of the rig's numbers, and what a rig settles to with them."""
