"""How the devices of a bench come to the same history: through a hub."""
