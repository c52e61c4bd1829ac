"""The REST resources."""
