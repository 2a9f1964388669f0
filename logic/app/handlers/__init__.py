"""What each command does: one function a command, grouped by the room it belongs to."""
