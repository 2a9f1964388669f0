"""Taking a slot down in safe passes, and how much a stroke of the file removes."""
