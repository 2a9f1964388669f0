"""What each command does: one function a command, grouped by the screens it belongs to."""
