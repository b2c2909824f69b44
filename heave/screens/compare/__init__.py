"""Page that puts plans side by side."""
