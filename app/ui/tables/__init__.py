"""The tables under the plan: sorted, filtered and kept in step row by row."""
