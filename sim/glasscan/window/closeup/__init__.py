"""The closer look: a row of pleats, or one gap between two discs."""
