"""The page of what moves the result: inputs one at a time, and drawn at random together."""
