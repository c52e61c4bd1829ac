"""Files of price lists: from bytes to tables of text cells.

``open_list.open_list`` tells what kind of file the bytes are by their content, holds them against
the limits before any of it is unpacked, and gives their tables: text as it streams, workbooks
sheet by sheet. What a cell is worth is not judged here.
"""
