"""Areas, fill and counts of pathways and frames."""
