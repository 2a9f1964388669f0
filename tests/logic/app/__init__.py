"""The desk: commands in, events recorded, views out."""
