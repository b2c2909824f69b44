"""Method and sources."""
