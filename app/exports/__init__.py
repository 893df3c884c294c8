"""Writers: they only format what they are given."""
