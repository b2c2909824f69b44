"""Strict readers and writers of the files an engineer hands over or takes away."""
