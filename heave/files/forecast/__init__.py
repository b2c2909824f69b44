"""Reading forecasts: columns, times, systems, members."""
