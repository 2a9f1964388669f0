"""The device under the app: what only the page and the private file system can do."""
