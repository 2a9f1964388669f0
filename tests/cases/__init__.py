"""Faults that players and repairers tell of, rebuilt as job files, each with the right call."""
