"""Hoisting: the reeved system, what it carries, and the work of its line."""
