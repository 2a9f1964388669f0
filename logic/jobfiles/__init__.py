"""Job files: reading them, filling what they leave out, refusing what cannot be used."""
