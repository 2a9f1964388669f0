"""From readings to what is believed of one quantity, and which reading to take next."""
