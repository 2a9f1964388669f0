"""What a person can do: every tap, key and pedal is one of these values."""
