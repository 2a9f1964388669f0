"""What a technician decides, as pure functions over the shared models."""
