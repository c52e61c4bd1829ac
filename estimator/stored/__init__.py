"""What a user can ask for of things that are kept: plain functions of a session and a scope.

As ``usecases``, with the database: read what is needed, call the steps, keep the outcome.
"""
