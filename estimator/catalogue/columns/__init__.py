"""Which column of a table holds what: from its head row, from its cells, from a person.

``settle_columns.settle_columns`` gives a ``ColumnMapping``: a value that is shown, can be
corrected, given back, and remembered for the next list of the supplier.
"""
