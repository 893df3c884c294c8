"""Where every cable goes, and how long it is."""
