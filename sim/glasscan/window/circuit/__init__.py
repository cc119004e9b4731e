"""The oil circuit as a picture: sump, pump, regulator, filter, gallery, bearings, and ribbons of flow."""
