"""Commands: pure functions from a project to the patch that does one thing."""
