"""For whoever presents: hands of the class, notes, spotlight."""
