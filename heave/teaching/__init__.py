"""Exercises for the trainee, worked from the plan on the screen."""
