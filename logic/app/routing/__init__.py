"""Which screen is shown, and how one gets from each to the next."""
