"""Where the person stands, the job at hand, and what the record says of it."""
