"""The rig round the filter: pump, regulator, gallery, sump, clock and recorder."""
