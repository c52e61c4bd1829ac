"""The job description: what the user told us, checked and completed with stated defaults."""
