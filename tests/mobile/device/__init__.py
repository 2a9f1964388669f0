"""What the device does under the app, with the browser replaced by stand-ins."""
