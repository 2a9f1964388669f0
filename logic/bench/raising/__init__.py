"""Giving height back, and what to do with the nut as a whole."""
