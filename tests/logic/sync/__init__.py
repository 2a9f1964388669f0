"""The exchange: every device comes to the same history, whatever goes wrong on the way."""
