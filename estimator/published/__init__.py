"""Strict readers for published facts: tables (CSV), dated rules (TOML) and their sources."""
