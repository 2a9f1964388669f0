"""Journeys through the built app in a real browser."""
