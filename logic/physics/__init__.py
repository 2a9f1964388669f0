"""Strings, neck geometry, pitch and vibration: pure functions of numbers, units in the name."""
