"""Documents folded from events, their models, and what is asked of them."""
