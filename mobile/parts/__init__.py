"""The pieces that screens are built from."""
