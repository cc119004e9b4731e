"""The filter cut open: metal, oil in motion, colours, labels, port arrows."""
