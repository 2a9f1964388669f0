"""The app: commands in, events recorded, views out."""
