"""Immutable quote revisions and the difference between two. Not built yet."""
