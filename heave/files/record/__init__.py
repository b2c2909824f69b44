"""Heave records as they are sent: layout, meaning of columns, faults of the sensor, acceleration integrated twice."""
