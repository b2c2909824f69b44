"""The pages, one file each: they arrange inputs, panels and figures, and compute nothing."""
