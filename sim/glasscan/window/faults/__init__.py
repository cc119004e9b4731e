"""Every fault as a picture, once it may be seen: in the section or in the circuit."""
