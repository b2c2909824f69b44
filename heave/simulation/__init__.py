"""A plan through time: runs, what is set side by side, what a run says, and measured records."""
