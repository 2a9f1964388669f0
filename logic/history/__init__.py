"""What was recorded: a durable append-only journal, folded into documents that screens query."""
