"""What the bag of tools lacks, and what is worn or lost in it."""
