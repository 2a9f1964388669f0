"""From an empty page to the running app: the start screen, and what opens behind it."""
