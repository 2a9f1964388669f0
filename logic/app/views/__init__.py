"""What each screen shows: frozen values with finished words."""
