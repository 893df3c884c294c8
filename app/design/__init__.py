"""All that follows from a Project, and how it is recalculated."""
