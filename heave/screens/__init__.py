"""The Streamlit screens: they edit a plan and show its assessment, and compute nothing themselves."""
