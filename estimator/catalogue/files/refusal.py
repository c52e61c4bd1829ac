"""The refusal of a whole file."""

from estimator.finding import Fault, InputRefused


def refuse(name: str, message: str, where: str = "") -> InputRefused:
    """The refusal of a whole file for one reason. where: such as "sheet Wire, row 3"."""
    return InputRefused(name, (Fault(where, message),))
