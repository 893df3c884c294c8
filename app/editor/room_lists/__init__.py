"""Clients' lists made out: which column says what, which kind a word means, which room a line."""
