"""Storage of jobs, catalogues and quotes in SQLite or PostgreSQL.

``database`` opens a database and gives transactions; ``scope`` is the one door to the rows of an
organisation; one module a subject holds plain functions of a session and a scope. ``tables``
holds the tables, ``errors`` what can go wrong.
"""
