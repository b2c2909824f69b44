"""The weight-on-bit page."""
