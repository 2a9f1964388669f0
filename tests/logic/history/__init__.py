"""The history: what it keeps, and what no fault may take from it."""
