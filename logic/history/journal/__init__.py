"""The durable journal: framed lines in segments, opened, verified, appended to, rewritten."""
