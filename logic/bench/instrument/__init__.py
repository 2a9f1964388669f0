"""The instrument as figures: its strings, their geometry, what is usual of its kind."""
