"""Named figures: every law of the model, callable by name from the command line."""
