"""The hub: its stores, its doors, and what no client may do to it."""
