"""Figures of the screens: functions from results to Plotly figures, and to SVG where nothing on them moves."""
