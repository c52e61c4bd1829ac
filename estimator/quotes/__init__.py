"""Quotes: what a revision holds, its states, its number, and what differs between two.

Pure: dates and texts come in, records come out. ``store`` keeps them.
"""
