"""Parts of the weather-window page: clock, forecast, inputs, results, timeline, ensembles and hindcasts."""
