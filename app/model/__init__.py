"""The entities, the project, and the one kind of change."""
