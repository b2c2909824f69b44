"""Reading response tables: blocks of a file, what their words say, what is asked, and the numbers."""
