"""The Flet app and its publisher."""
