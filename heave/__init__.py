"""Vessel heave and drill-string compensator planning from wave spectra."""
