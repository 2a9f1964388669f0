"""Where bytes are kept: the contract of a directory, memory, files, and a reserve of space."""
