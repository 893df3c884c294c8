"""One file per rule: plain results in, findings out."""
