"""What to rule out before a slot is cut: rules as rows, and the few functions they name."""
