"""Facts put into words, in the language and unit of the bench."""
