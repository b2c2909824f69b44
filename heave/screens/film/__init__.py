"""The film of a run: what is sent to the browser, and the picture that plays there."""
