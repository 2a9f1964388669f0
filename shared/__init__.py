"""The vocabulary that every package speaks. Imports nothing of ours from outside this package."""
