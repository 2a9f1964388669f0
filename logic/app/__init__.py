"""The app without a screen: commands in, events recorded, views out."""
