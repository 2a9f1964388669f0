"""What the kit lacks, and what is worn or lost in it."""
