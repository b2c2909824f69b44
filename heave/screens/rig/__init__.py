"""Rig and well."""
