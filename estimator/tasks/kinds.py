"""The kinds of task, by the names under which they are kept."""

IMPORT_LIST = "import"
BATCH_ESTIMATE = "batch estimate"
REPRICE = "reprice"
REPRICE_SOME = "reprice some"
EXPORT_ORGANISATION = "export"

# Pieces of another task; lists of tasks leave them out.
PIECES = (REPRICE_SOME,)
MOST_JOBS = 1_000
QUOTES_AT_ONCE = 100
