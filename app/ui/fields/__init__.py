"""Fields of things: what can be edited, with which word, unit and usual range."""
