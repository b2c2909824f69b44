"""Exercises for the trainee, worked from the plan on the screen."""

from heave.teaching.exercises import Exercise, Grade, exercises_for, grade

__all__ = ["Exercise", "Grade", "exercises_for", "grade"]
