"""Storage of jobs, catalogues and quotes. Not built yet; nothing is stored."""
