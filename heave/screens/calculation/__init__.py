"""The calculation sheet: what is printed, signed and filed."""
