"""The panel that speaks of what is selected, and of the floor when nothing is."""
