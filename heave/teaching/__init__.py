"""Lesson and exercises for the trainee, made from the plan on the screen."""

from heave.teaching.exercises import Exercise, Grade, exercises_for, film_of, grade
from heave.teaching.replies import reply_of
from heave.teaching.scenes import SCENES

__all__ = ["SCENES", "Exercise", "Grade", "exercises_for", "film_of", "grade", "reply_of"]
