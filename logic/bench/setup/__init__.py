"""The whole set-up: what is known of neck, action and nut together, and what moves what."""
