"""Close-ups in a plane: a row of pleats, and one gap of a disc stack seen along its axis."""
