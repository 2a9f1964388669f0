"""The pieces that screens are built from. Every size, width, height and gap is in logical pixels."""
