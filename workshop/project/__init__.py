"""The project as it is saved: its model, its file and its changes."""
