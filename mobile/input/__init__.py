"""Keys, pedals and switches: what each of them does."""
