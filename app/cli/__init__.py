"""The program without a window: import, check, runs, takeoff."""
