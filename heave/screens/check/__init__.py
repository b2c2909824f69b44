"""The compensator check."""
