"""Dialogs: each asks one thing and changes the project by one patch."""
