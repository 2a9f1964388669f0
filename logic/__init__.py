"""Decides and remembers; knows no screen."""
