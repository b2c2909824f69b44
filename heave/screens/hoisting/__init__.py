"""Hoisting: the reeved system, what it carries, the hookload of the job and the work of the line."""
