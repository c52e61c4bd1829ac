"""What differs between editions of NFPA 70: one TOML file an edition, named after it."""
