"""The pleated cartridge in a housing."""
