"""Background work: asked for in the transaction of its cause, done in pieces, safe to do twice.

A task is a row (``store.tasks``); ``run.run_task`` does one. With SQLite a thread of the service
works them off (``runner``); with PostgreSQL the queue does (``queue``, ``worker``).
"""
