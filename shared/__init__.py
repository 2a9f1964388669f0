"""The vocabulary every room speaks. Imports nothing of ours from outside this package."""
