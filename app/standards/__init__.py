"""Published values and the rule set."""
