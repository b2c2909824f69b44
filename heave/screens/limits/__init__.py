"""Operating limits: the page, its figures in words, and the limit card."""
