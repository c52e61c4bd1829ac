"""Words as an XML document may hold them."""

import re

# XML 1.0 (fifth edition), section 2.2: all other code points below are not characters.
_NOT_XML = re.compile("[^\\t\\n\\r\\x20-\\uD7FF\\uE000-\\uFFFD\\U00010000-\\U0010FFFF]")


def printable(text: object) -> str:
    """The text without what an XML document must not hold."""
    return _NOT_XML.sub("\N{REPLACEMENT CHARACTER}", str(text))
