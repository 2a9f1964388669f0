"""The desk of the app: commands in, events recorded, views out."""
