"""What people say, in their own words: the strings they name and what they mean."""
