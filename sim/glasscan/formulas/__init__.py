"""Named figures: every law of the model, callable by name from the command line.

To add figures, drop a module into this folder that uses `registry.figure`; it is found by itself.
"""
