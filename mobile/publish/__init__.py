"""Turns the app into a static site that starts with no network and asks nobody for anything."""
