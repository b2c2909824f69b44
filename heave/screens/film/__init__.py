"""The film: a run of the simulation as a moving rig with its gauges and traces, in the browser."""
