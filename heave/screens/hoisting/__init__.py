"""Hoisting."""
